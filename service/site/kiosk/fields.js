import { h, id } from "./dom.js";
import { local, posted } from "./figures.js";
import { keypad } from "./keypad.js";
import { measured, withUnit } from "./lengths.js";
import { memory } from "./memory.js";
import { has, t } from "./texts.js";

// A field is one thing that is asked for: `at`, its place in a request; `draw`,
// which makes its elements; `read`, its value there, undefined where nothing
// was said; `when`, whether it is asked for at all. It is remembered under its
// place, or under a `key` of its own where that place has another value too.
// `beside` are values that go into a request with it; `shown` says whether it is
// to be seen where its value came from elsewhere.

const always = () => true;

const usualAngle = 14; // degrees

// name is the key of a field's texts: its place without what all have in common.
// Places along a joint are its two ends.
const name = (at) => at.replace(/^(setup|test_cuts\.\d+|findings)\./, "").replace(/^along\.(\d)/, (_, i) => ["left", "right"][i]).replace(/\.\d+\./, ".");
const label = (at) => t(`field.${name(at)}`);
const help = (at) => (has(`help.${name(at)}`) ? t(`help.${name(at)}`, { example: usualAngle }) : "");

// said is the text of a code: its field's own, that of such fields, or the one for all.
const said = (at, code) => t([`choice.${name(at)}.${code}`, `choice.${name(at).split(".").at(-1)}.${code}`].find(has) ?? `choice.${code}`);

// written draws a line to write a value on; touching it opens the keypad.
function written(at, { key, tidy, kind, picks }) {
  const input = h("input", {
    id: id(at), type: "text", inputmode: "none", autocomplete: "off", spellcheck: "false",
    value: local(memory.values.get(key) ?? ""), "aria-describedby": `${id(at)}-help ${id(at)}-error`,
  });
  const keep = (text) => {
    const value = text === "" ? "" : tidy(posted(text));
    input.value = local(value);
    memory.values.set(key, value);
    input.dispatchEvent(new Event("filled", { bubbles: true }));
  };
  input.addEventListener("change", () => keep(input.value));
  input.addEventListener("click", async () => {
    const { text, next } = await keypad({ at, heading: label(at), help: help(at), value: posted(input.value), kind, picks: picks(), more: following(input) !== null });
    if (text !== null) keep(text);
    input.focus();
    if (next) following(input)?.click();
  });
  return h("div", { class: "field" },
    h("label", { for: input.id }, label(at)),
    h("p", { class: "help", id: `${input.id}-help` }, help(at)),
    input,
    h("p", { class: "error", id: `${input.id}-error` }));
}

// following is the next line of the form that has to be written on, and is empty.
function following(input) {
  const lines = [...(input.form?.querySelectorAll("input[data-wanted]") ?? [])].filter((line) => line.checkVisibility());
  const after = (line) => input.compareDocumentPosition(line) & Node.DOCUMENT_POSITION_FOLLOWING;
  return lines.find((line) => after(line) && line.value === "") ?? null;
}

// want marks the lines that have to be written on, and those that are asked for
// after them.
export function want(form, needed, further) {
  for (const at of [...needed, ...further]) {
    const line = document.getElementById(id(at)) ?? form.querySelector(`#${id(at)}`);
    if (!line) continue;
    line.dataset.wanted = "";
    if (!needed.includes(at)) continue;
    if (line.tagName === "INPUT") line.setAttribute("aria-required", "true");
    (form.querySelector(`label[for="${line.id}"]`) ?? line.querySelector("legend")).classList.add("needed");
  }
}

// length is a size with its unit. How sure a reading is, in mm and in inches,
// is written behind it where none is.
export function length(at, { key = at, when = always, picks = () => [], sure = null, beside = [] } = {}) {
  const read = (values) => {
    const text = values.get(key);
    if (!text) return undefined;
    const { number, unit } = measured(text);
    if (sure === null || !unit || /[±+]/.test(number)) return text;
    return `${number} +/- ${sure[unit] ?? sure.mm} ${unit}`;
  };
  return { at, when, read, beside, draw: () => written(at, { key, tidy: withUnit, kind: "length", picks }) };
}

// number is a figure without a unit of length: an angle, a moisture.
export function number(at, { key = at, when = always, picks = () => [], beside = [] } = {}) {
  const read = (values) => {
    const text = values.get(key);
    if (!text) return undefined;
    const figure = Number(text.replace(",", "."));
    return Number.isFinite(figure) ? figure : text; // the service says what is wrong with it
  };
  return { at, when, read, beside, draw: () => written(at, { key, tidy: (text) => text.trim(), kind: "number", picks }) };
}

// choice is one of several codes, each with its text.
export function choice(at, codes, { key = at, when = always, fallback, large = false, legend = () => label(at), sends = (code) => code, beside = [] } = {}) {
  const chosen = (values) => values.get(key) ?? fallback;
  const draw = () =>
    h("fieldset", { class: large ? "choice large" : "choice", id: id(at), "aria-describedby": `${id(at)}-error`, tabindex: "-1" },
      h("legend", {}, legend()),
      help(at) && h("p", { class: "help" }, help(at)),
      h("div", { class: "options" }, codes.map((code) =>
        h("label", {},
          h("input", {
            type: "radio", name: id(at), value: code, checked: chosen(memory.values) === code,
            onchange: () => memory.values.set(key, code),
          }),
          h("span", {}, said(at, code))))),
      h("p", { class: "error", id: `${id(at)}-error` }));
  const told = (values) => chosen(values) !== undefined;
  return { at, when, draw, told, beside, read: (values) => (told(values) ? sends(chosen(values)) : undefined) };
}

// told says whether anything was said of a field: that nobody knows is an
// answer too, though none that a request takes.
export const told = (field, values) => field.when(values) && (field.told ? field.told(values) : field.read(values) !== undefined);

// yesNo is a finding that was looked for.
export const yesNo = (at) => choice(at, ["yes", "no"], { sends: (code) => code === "yes" });

// question is a finding that somebody is asked for, who need not know.
export const question = (at) =>
  choice(at, ["yes", "no", "unknown"], { large: true, legend: () => t("wrong.your_answer"), sends: (code) => ({ yes: true, no: false })[code] });

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
  const show = () => drawn.forEach((d) => (d.element.hidden = !d.field.when(memory.values) || d.field.shown?.(memory.values) === false));
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
  error.closest("[hidden]")?.removeAttribute("hidden");
  return true;
}

// calm takes all complaints off the page.
export function calm() {
  document.querySelectorAll(".error").forEach((e) => (e.textContent = ""));
  document.querySelectorAll("[aria-invalid]").forEach((e) => e.removeAttribute("aria-invalid"));
}
