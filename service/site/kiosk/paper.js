import { ask } from "./ask.js";
import { h } from "./dom.js";
import { memory } from "./memory.js";
import { t } from "./texts.js";

const sheet = document.getElementById("sheet");

// clear takes the bench sheet of whoever was here off the printer's page.
export function clear() {
  sheet.replaceChildren();
  if (memory.pdf) URL.revokeObjectURL(memory.pdf);
  memory.pdf = undefined;
}

// print puts the bench sheet alone on the printer's page, at its own size.
async function print(body) {
  const svg = await ask("v1/setup-sheets", body, "image/svg+xml");
  const page = new DOMParser().parseFromString(await svg.text(), "image/svg+xml").documentElement;
  clear();
  sheet.className = body.paper;
  sheet.append(document.importNode(page, true));
  window.print();
}

// keep offers the bench sheet as a file, for a phone.
async function keep(body) {
  const pdf = await ask("v1/setup-sheets", body, "application/pdf");
  clear();
  memory.pdf = URL.createObjectURL(pdf);
  h("a", { href: memory.pdf, download: "bench-sheet.pdf" }).click();
}

// sheetButtons print or keep the sheet of what was told: a set-up, and what
// came of it; act runs what they do, and says so where it fails.
export function sheetButtons(told, act) {
  const paper = memory.units === "in" ? "letter" : "a4";
  const body = () => ({ ...told, units: memory.units, paper: box.querySelector("input:checked").value });
  const box = h("div", { class: "paper" },
    h("button", { type: "button", class: "main", onclick: () => act(() => print(body())) }, t("paper.print")),
    h("button", { type: "button", class: "quiet", onclick: () => act(() => keep(body())) }, t("paper.keep")),
    h("fieldset", { class: "units" },
      h("legend", {}, t("paper.size")),
      ["a4", "letter"].map((size) => h("label", {},
        h("input", { type: "radio", name: "paper", value: size, checked: size === paper }), h("span", {}, t(`paper.${size}`))))));
  return box;
}
