import { h, id } from "./dom.js";
import { comma, local, shown } from "./figures.js";
import { fraction, measured, together } from "./lengths.js";
import { memory } from "./memory.js";
import { lit } from "./pictures.js";
import { t } from "./texts.js";

// keypad asks for a value without a keyboard: usual sizes, digits, and in
// inches fractions by one touch. It answers the text that was written, null if
// nothing is to change, and whether the next line is to be asked for at once.
export function keypad({ at, heading, help, value, kind, picks, more }) {
  const { number, unit } = measured(value);
  const pad = { unit: unit ?? memory.units, fresh: true, fraction: false };
  const line = h("input", { type: "text", inputmode: "none", autocomplete: "off", spellcheck: "false", "aria-label": heading, value: local(number) });
  const write = (text, fraction = false) => {
    pad.fresh = false;
    pad.fraction = fraction;
    line.value = text;
  };
  const digit = (key) => write((pad.fresh || pad.fraction ? "" : line.value) + key);
  const part = (text) => {
    const whole = pad.fresh ? "" : line.value.replace(/\s*\d+\/\d+$/, "").trim();
    write(/^\d+$/.test(whole) && Number(whole) > 0 ? `${whole} ${text}` : text, true);
  };
  const back = () => write(pad.fraction ? line.value.replace(/\s*\d+\/\d+$/, "") : line.value.slice(0, -1));
  line.addEventListener("input", () => ((pad.fresh = false), (pad.fraction = false)));

  const key = (text, press, name) => h("button", { type: "button", class: "key", "aria-label": name ?? null, onclick: press }, text);
  const digits = h("div", { class: "digits", role: "group", "aria-label": t("pad.digits") },
    [..."789456123"].map((d) => key(d, () => digit(d))),
    key(comma, () => digit(comma), t("pad.point")), key("0", () => digit("0")), key("⌫", back, t("pad.back")));
  const inches = kind === "length" ? fractions(part) : null;
  const units = kind === "length" ? unitChoice(pad, (to) => (inches.hidden = to !== "in")) : null;
  if (inches) inches.hidden = pad.unit !== "in";
  const usual = picks.length === 0 ? null
    : h("div", { class: "picks", role: "group", "aria-label": t("pad.usual") },
      picks.map((text) => h("button", { type: "button", class: "pick", onclick: () => close(text, more) }, shown(text))));

  const dialog = h("dialog", { class: "keypad", "aria-labelledby": "pad-heading" },
    h("form", { method: "dialog" },
      h("div", { class: "top" },
        h("h2", { id: "pad-heading" }, heading),
        h("button", { type: "button", class: "quiet", "aria-label": t("pad.cancel"), onclick: () => close(null) }, "✕")),
      lit(id(at)),
      help && h("p", { class: "help" }, help),
      usual,
      h("div", { class: "line" }, line, units ?? h("span", {}, "")),
      h("div", { class: "pads" }, digits, inches),
      h("div", { class: "ends" },
        more && h("button", { type: "submit", class: "main", value: "next" }, t("pad.next")),
        h("button", { type: "submit", class: more ? "quiet" : "main" }, t("pad.done")))));
  const done = () => (line.value.trim() === "" || kind !== "length" ? line.value.trim() : together(line.value, pad.unit));
  let answer = { text: null, next: false };
  const close = (text, next = false) => {
    answer = { text, next };
    dialog.close();
  };
  dialog.querySelector("form").addEventListener("submit", (e) => (answer = { text: done(), next: e.submitter?.value === "next" }));
  document.body.append(dialog);
  dialog.showModal();
  line.focus();
  line.select();
  return new Promise((resolve) =>
    dialog.addEventListener("close", () => {
      dialog.remove();
      resolve(answer);
    }));
}

// fractions are the parts of an inch, as fine as wanted.
function fractions(press) {
  const keys = h("div", { class: "parts", role: "group", "aria-label": t("pad.parts") });
  const show = (of) => {
    const count = of === 16 ? Array.from({ length: 15 }, (_, i) => i + 1) : Array.from({ length: of / 2 }, (_, i) => 2 * i + 1);
    keys.replaceChildren(...count.map((n) => {
      const text = fraction(n, of);
      return h("button", { type: "button", class: "key part", onclick: () => press(text) }, text);
    }));
    keys.className = `parts of${of}`;
  };
  const finer = h("div", { class: "finer", role: "group", "aria-label": t("pad.finer") },
    [16, 32, 64].map((of) => h("button", {
      type: "button", class: "quiet", "aria-pressed": String(of === 16),
      onclick: (e) => {
        show(of);
        finer.querySelectorAll("button").forEach((b) => b.setAttribute("aria-pressed", String(b === e.currentTarget)));
      },
    }, t("pad.of", { part: `1/${of}` }))));
  show(16);
  return h("div", { class: "fractions" }, finer, keys);
}

function unitChoice(pad, changed) {
  return h("fieldset", { class: "units" },
    h("legend", { class: "heard" }, t("units")),
    ["in", "mm"].map((unit) => h("label", {},
      h("input", {
        type: "radio", name: "pad-unit", value: unit, checked: pad.unit === unit,
        onchange: () => {
          pad.unit = unit;
          changed(unit);
        },
      }),
      h("span", {}, t(`units.${unit}`)))));
}
