import { ask } from "./ask.js";
import { h } from "./dom.js";
import { ranges } from "./letters.js";
import { linkTo, takeAlong } from "./link.js";
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

// lacking are the letters of a text that a PDF cannot print, each once.
const lacking = (text) => [...new Set(text)].filter((letter) => {
  const n = letter.codePointAt(0);
  return !ranges.some(([from, to]) => n >= from && n <= to);
});

const longestJob = 100; // characters, as the service takes it

// sizes of paper, as they are called everywhere.
const sizes = { a4: "A4", letter: "Letter" };

// sheetButtons print or keep the sheet of what was told: a set-up, and what
// came of it, under the name of a job; act runs what they do, and says so where
// it fails. The sheet's QR code, and the one on the screen, open a door with it.
export function sheetButtons(told, act, door) {
  const paper = memory.units === "in" ? "letter" : "a4";
  const job = () => (memory.values.get("job") ?? "").trim();
  const link = () => linkTo(door, told.setup, job());
  const body = () => ({
    ...told, units: memory.units, paper: box.querySelector("input:checked").value,
    ...(job() && { job: job() }), ...(link() && { link: link() }),
  });
  const unprinted = h("p", { class: "help", id: "job-letters", role: "status" });
  const look = () => {
    const letters = lacking(job());
    unprinted.textContent = letters.length > 0 ? t("paper.lacking", { letters: letters.join(" ") }) : "";
  };
  const named = (e) => {
    memory.values.set("job", e.target.value);
    look();
  };
  look();
  const box = h("div", { class: "paper" },
    h("div", { class: "field job" },
      h("label", { for: "job" }, t("paper.job")),
      h("input", { id: "job", type: "text", maxlength: longestJob, autocomplete: "off", value: memory.values.get("job") ?? "",
        "aria-describedby": unprinted.id, oninput: named }),
      unprinted),
    h("button", { type: "button", class: "main", onclick: () => act(() => print(body())) }, t("paper.print")),
    h("button", { type: "button", class: "quiet", onclick: () => act(() => keep(body())) }, t("paper.keep")),
    h("fieldset", { class: "units" },
      h("legend", {}, t("paper.size")),
      Object.entries(sizes).map(([size, name]) => h("label", {},
        h("input", { type: "radio", name: "paper", value: size, checked: size === paper }), h("span", {}, name)))));
  return [box, takeAlong(link)];
}
