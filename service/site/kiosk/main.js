import { fits, which } from "./answers.js";
import { ask, leave, Refused, Stale, Trouble } from "./ask.js";
import { diagnosed, fieldsMade } from "./counter.js";
import { h, id, tell } from "./dom.js";
import { calm, complain, draw, want } from "./fields.js";
import { doors, fieldsOf, wantedOf } from "./forms.js";
import * as link from "./link.js";
import { live } from "./live.js";
import { forget, memory, request } from "./memory.js";
import { clear } from "./paper.js";
import * as pictures from "./pictures.js";
import * as shop from "./shop.js";
import * as stock from "./stock.js";
import { sure, watch } from "./idle.js";
import { t } from "./texts.js";
import { again, words } from "./trouble.js";

const start = document.getElementById("start");
const view = document.getElementById("view");

// What each door asks of the service, and how its answer is shown.
const counters = {
  which: {
    ask: async (asked) => ({ answer: await ask("v1/cutter-recommendations", asked) }),
    show: which,
  },
  fit: {
    ask: async (asked) => {
      const [answer, correction] = await Promise.all([ask("v1/fit-predictions", asked), ask("v1/corrections", { ...asked, test_cuts: [] })]);
      return { answer, correction };
    },
    show: fits,
  },
  wrong: {
    ask: async (asked) => ({ answer: await ask("v1/diagnoses", asked).catch((reason) => ofTheLast(asked, reason)) }),
    show: diagnosed,
  },
};

// ofTheLast: what is on the page is of the last test joint, whatever its number.
function ofTheLast(asked, reason) {
  reason.fields?.forEach((field) => (field.at = field.at.replace(`test_cuts.${asked.test_cuts.length - 1}`, "test_cuts.0")));
  throw reason;
}

const askedOf = (door, further = []) => request([...fieldsOf(door), ...further], doors[door].parts(memory.values));

// askedToDiagnose tells of every test joint, of the checks that were made, and
// of those that can't be.
function askedToDiagnose() {
  const asked = askedOf("wrong", fieldsMade());
  asked.test_cuts = [...memory.cuts, ...asked.test_cuts];
  if (memory.answered.length > 0) asked.answered = memory.answered;
  if (memory.unavailable.length > 0) asked.unavailable = memory.unavailable;
  return asked;
}

// work asks what a door asks, and remembers the answer. A check that is asked
// for again is no longer answered; what it read still stands.
async function work(door) {
  const asked = door === "wrong" ? askedToDiagnose() : askedOf(door);
  wait(true);
  try {
    const got = await counters[door].ask(asked);
    memory.answers.set(door, { asked, ...got });
    memory.answered = memory.answered.filter((code) => code !== got.answer.decision?.check);
    calm();
  } finally {
    wait(false);
  }
}

// wait shows that an answer is waited for: one at a time, in one unit.
function wait(waiting) {
  tell(waiting ? t("working") : "");
  document.getElementById("waiting").hidden = !waiting;
  document.querySelector("header .units").disabled = waiting;
  if (waiting) document.body.setAttribute("aria-busy", "true");
  else document.body.removeAttribute("aria-busy");
}

// working works a door out with something changed, which is taken back where
// that fails.
async function working(door, changed) {
  const before = { ...memory };
  Object.assign(memory, changed);
  try {
    await work(door);
  } catch (reason) {
    if (!(reason instanceof Stale)) Object.assign(memory, before);
    throw reason;
  }
}

// busy: a button touched twice asks once.
const busy = () => document.body.hasAttribute("aria-busy");

// act does something, and says at the top of the view what went wrong with it.
async function act(doing) {
  try {
    await doing();
  } catch (reason) {
    if (reason instanceof Stale) return;
    if (reason instanceof Refused) wrongFields(reason.fields, reason.message);
    else if (reason instanceof Trouble) silent(reason, () => act(doing));
    else throw reason;
  }
}

const trouble = () => view.querySelector(".trouble");

function warn(...inside) {
  const box = h("div", { class: "trouble", role: "alert", tabindex: "-1" }, inside);
  trouble()?.remove();
  view.prepend(box);
  box.focus();
  box.scrollIntoView({ block: "start" });
}

// silent says why there is no answer, and lets it be asked for again.
function silent(reason, doing) {
  warn(words(reason), h("p", {}, t("trouble.kept")), again(reason, () => {
    if (busy()) return;
    trouble()?.remove();
    doing();
  }));
}

// wrongFields says what is wrong, above and beside each field.
function wrongFields(fields, detail) {
  calm();
  const list = fields.map((field) => {
    const text = field.code === "missing" ? t("refused.missing") : field.text;
    return { at: field.at, text, here: complain(field.at, text) };
  });
  warn(h("h2", {}, t("refused.heading")),
    list.length === 0 && h("p", {}, detail),
    h("ul", {}, list.map(({ at, text, here }) => h("li", {}, here ? h("a", { href: `#${id(at)}`, onclick: (e) => reach(e, at) }, `${called(at)}: ${text}`) : text))));
}

const called = (at) => document.querySelector(`label[for="${id(at)}"], #${id(at)} > legend`)?.textContent ?? "";

function reach(event, at) {
  event.preventDefault();
  document.getElementById(id(at)).focus();
}

function submit(event, doing) {
  event.preventDefault();
  document.activeElement?.blur?.(); // what is being typed counts
  if (!busy()) act(doing);
}

// form is what a door asks for, and beside it the joint that comes of it.
function form(door) {
  const panel = live(fieldsOf(door).filter((field) => field.at.startsWith("setup.")));
  const box = h("form", { novalidate: true, class: "beside", onsubmit: (e) => submit(e, () => opened(door)) },
    h("div", { class: "sections" }, doors[door].sections.map(section)),
    panel.box,
    h("div", { class: "ends" }, h("button", { type: "submit", class: "main" }, t(`${door}.submit`))));
  want(box, ...wantedOf(door));
  queueMicrotask(() => panel.watch(box)); // once it is on the page
  return [
    h("a", { class: "back", href: "#" }, t("form.back")),
    h("h1", { tabindex: "-1" }, t(`${door}.door`)),
    h("p", {}, t(`${door}.form`)),
    h("p", { class: "help" }, t("form.needed")),
    box,
  ];
}

function section({ key, fields, folded }) {
  if (folded) return h("details", { class: "card" }, h("summary", {}, t(`section.${key}`)), draw(fields));
  return h("section", { class: "card" }, h("h2", {}, t(`section.${key}`)), draw(fields));
}

// opened works a door out and goes on to its answer. What was told of a joint
// and of earlier ones begins anew.
async function opened(door) {
  Object.assign(memory, { made: [], answered: [], unavailable: [], found: new Map(), cuts: [] });
  await work(door);
  location.hash = `${door}.answer`;
}

// begun says whether there is anything to forget.
const begun = () => memory.answers.size > 0 || [...memory.values.values()].some(Boolean);

function answer(door) {
  const page = {
    act, submit,
    complain: (fields) => wrongFields(fields, ""),
    again: (changed) => {
      memory.answers.set(door, { ...memory.answers.get(door), ...changed });
      render();
    },
    askAgain: async (changed) => {
      if (busy()) return;
      await working(door, changed);
      render();
    },
    onward: (values) => h("div", { class: "onward" },
      h("button", { type: "button", class: "quiet", onclick: () => {
        Object.entries(values).forEach(([at, value]) => memory.values.set(at, value));
        if (values["setup.cutter.diameter"]) shop.unpick("cutter");
        location.hash = "wrong";
      } }, t("onward.wrong"))),
  };
  return [h("a", { class: "back", href: `#${door}` }, t("answer.back")), counters[door].show(memory.answers.get(door), page)];
}

// render shows what the address names: the start, a door, or its answer.
function render() {
  const [door, part] = location.hash.slice(1).split(".");
  const known = Object.hasOwn(doors, door);
  start.hidden = known;
  view.hidden = !known;
  clear();
  view.replaceChildren(...(known ? (part && memory.answers.has(door) ? answer(door) : form(door)).flat(Infinity).filter(Boolean) : []));
  const heading = (known ? view : start).querySelector("h1");
  document.title = known ? `${heading.textContent} · ${t("name")}` : t("title");
  window.scrollTo(0, 0);
  heading.focus();
}

// inUnits shows everything in the units chosen; an answer is asked for again.
async function inUnits(units) {
  memory.units = units;
  const [door, part] = location.hash.slice(1).split(".");
  if (!part || !memory.answers.has(door)) return;
  await act(async () => {
    await work(door);
    render();
  });
}

// The page in another language opens where this one is, with the set-up that was
// typed in its address behind the #.
for (const other of document.querySelectorAll(".languages a")) {
  other.addEventListener("click", () => {
    const [door] = location.hash.slice(1).split(".");
    if (!Object.hasOwn(doors, door)) return;
    const address = link.linkTo(door, askedOf(door).setup, memory.values.get("job") ?? "", location.origin + location.pathname);
    other.hash = address === "" ? `#${door}` : new URL(address).hash;
  });
}

const units = [...document.querySelectorAll("header input")];

const showUnits = () => units.forEach((input) => (input.checked = input.value === memory.units));

// over starts over for the next customer.
function over() {
  leave();
  forget();
  document.querySelectorAll("dialog").forEach((dialog) => dialog.close());
  showUnits();
  if (location.hash.length > 1) history.replaceState(null, "", location.pathname + location.search);
  render();
}

units.forEach((input) => input.addEventListener("change", () => inUnits(input.value)));
document.getElementById("over").addEventListener("click", () => (begun() ? sure(over) : over()));
window.addEventListener("hashchange", () => {
  leave(); // who goes back while it is waited for an answer stays back
  if (link.opened()) showUnits();
  render();
});
link.opened();
watch(over);
stock.load();
pictures.load();
shop.load(() => memory.answers.size === 0 && render());
showUnits();
render();
