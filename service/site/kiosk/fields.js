import { h, id } from "./dom.js";
import { keypad } from "./keypad.js";
import { measured, withUnit } from "./lengths.js";
import { memory } from "./memory.js";
import { has, t } from "./texts.js";

// A field is one thing that is asked for: `at`, its place in a request; `draw`,
// which makes its elements; `read`, its value there, undefined where nothing
// was said; `when`, whether it is asked for at all.

const always = () => true;

// name is the key of a field's texts: its place without what all have in common.
const name = (at) => at.replace(/^(setup|test_cuts\.\d+|findings)\./, "").replace(/\.\d+\./, ".");
const label = (at) => t(`field.${name(at)}`);
const help = (at) => (has(`help.${name(at)}`) ? t(`help.${name(at)}`) : "");

// said is the text of a code: its field's own, or the one for all.
const said = (at, code) => t(has(`choice.${name(at)}.${code}`) ? `choice.${name(at)}.${code}` : `choice.${code}`);

// written draws a line to write a value on; touching it opens the keypad.
function written(at, { tidy, kind, picks }) {
  const input = h("input", {
    id: id(at), type: "text", inputmode: "none", autocomplete: "off", spellcheck: "false",
    value: memory.values.get(at) ?? "", "aria-describedby": `${id(at)}-help ${id(at)}-error`,
  });
  const keep = (text) => {
    input.value = text === "" ? "" : tidy(text);
    memory.values.set(at, input.value);
    input.dispatchEvent(new Event("filled", { bubbles: true }));
  };
  input.addEventListener("change", () => keep(input.value));
  input.addEventListener("click", async () => {
    const text = await keypad({ heading: label(at), help: help(at), value: input.value, kind, picks: picks() });
    if (text !== null) keep(text);
    input.focus();
  });
  return h("div", { class: "field" },
    h("label", { for: input.id }, label(at)),
    h("p", { class: "help", id: `${input.id}-help` }, help(at)),
    input,
    h("p", { class: "error", id: `${input.id}-error` }));
}

// length is a size with its unit. How sure a reading is, in mm and in inches,
// is written behind it where none is.
export function length(at, { when = always, picks = () => [], sure = null } = {}) {
  const read = (values) => {
    const text = values.get(at);
    if (!text) return undefined;
    const { number, unit } = measured(text);
    if (sure === null || !unit || /[±+]/.test(number)) return text;
    return `${number} +/- ${sure[unit] ?? sure.mm} ${unit}`;
  };
  return { at, when, read, draw: () => written(at, { tidy: withUnit, kind: "length", picks }) };
}

// number is a figure without a unit of length: an angle, a moisture.
export function number(at, { when = always, picks = () => [] } = {}) {
  const read = (values) => {
    const text = values.get(at);
    if (!text) return undefined;
    const figure = Number(text.replace(",", "."));
    return Number.isFinite(figure) ? figure : text; // the service says what is wrong with it
  };
  return { at, when, read, draw: () => written(at, { tidy: (text) => text.trim(), kind: "number", picks }) };
}

// choice is one of several codes, each with its text.
export function choice(at, codes, { when = always, fallback, large = false, sends = (code) => code } = {}) {
  const chosen = (values) => values.get(at) ?? fallback;
  const draw = () =>
    h("fieldset", { class: large ? "choice large" : "choice", id: id(at), "aria-describedby": `${id(at)}-error`, tabindex: "-1" },
      h("legend", {}, label(at)),
      help(at) && h("p", { class: "help" }, help(at)),
      h("div", { class: "options" }, codes.map((code) =>
        h("label", {},
          h("input", {
            type: "radio", name: id(at), value: code, checked: chosen(memory.values) === code,
            onchange: () => memory.values.set(at, code),
          }),
          h("span", {}, said(at, code))))),
      h("p", { class: "error", id: `${id(at)}-error` }));
  return { at, when, draw, read: (values) => (chosen(values) === undefined ? undefined : sends(chosen(values))) };
}

// yesNo is a finding that was looked for.
export const yesNo = (at) => choice(at, ["yes", "no"], { sends: (code) => code === "yes" });

// noticed is a finding that is told only where it is so.
export function noticed(at) {
  const draw = () =>
    h("label", { class: "tick" },
      h("input", { type: "checkbox", id: id(at), checked: memory.values.get(at) === "yes",
        onchange: (e) => memory.values.set(at, e.target.checked ? "yes" : undefined) }),
      h("span", {}, label(at)));
  return { at, when: always, draw, read: (values) => (values.get(at) === "yes" ? true : undefined) };
}

// signed is a length to one side or the other.
export function signed(at, [plus, minus], options = {}) {
  const size = length(at, options);
  const side = choice(`${at}-side`, [plus, minus], { fallback: plus });
  const read = (values) => {
    const text = size.read(values);
    return text && side.read(values) === minus && !text.startsWith("-") ? `-${text}` : text;
  };
  return { at, when: size.when, read, draw: () => h("div", { class: "signed" }, size.draw(), side.draw()) };
}

// draw makes the elements of fields, and shows those that are asked for now.
export function draw(fields) {
  const drawn = fields.map((field) => ({ field, element: field.draw() }));
  const box = h("div", { class: "fields" }, drawn.map((d) => d.element));
  const show = () => drawn.forEach((d) => (d.element.hidden = !d.field.when(memory.values)));
  box.addEventListener("change", show);
  box.addEventListener("filled", show);
  show();
  return box;
}

// complain writes what is wrong with a field below it; false where the field
// is not on the page.
export function complain(at, text) {
  const error = document.getElementById(`${id(at)}-error`);
  if (!error) return false;
  error.textContent = text;
  document.getElementById(id(at)).setAttribute("aria-invalid", "true");
  error.closest("details")?.setAttribute("open", "");
  return true;
}

// calm takes all complaints off the page.
export function calm() {
  document.querySelectorAll(".error").forEach((e) => (e.textContent = ""));
  document.querySelectorAll("[aria-invalid]").forEach((e) => e.removeAttribute("aria-invalid"));
}
