import { ask, Refused, Stale, Trouble } from "./ask.js";
import { fit, jointFigures } from "./drawing.js";
import { h, id, share } from "./dom.js";
import { local, shown } from "./figures.js";
import { fraction, inMM } from "./lengths.js";
import { memory, request } from "./memory.js";
import { lit } from "./pictures.js";
import { t } from "./texts.js";
import { again, words } from "./trouble.js";

// The joint beside the form, as it would come out of what is written so far: its
// drawing, and a slider of depth whose marks are depths that can be set.

const settles = 350; // ms without a change until the service is asked
const least = 3; // mm, below which a tail holds nothing, as the service says
const around = 2.6; // mm to either side of the best depth
const most = 24; // marks

// needs are what a joint follows from.
const needs = ["setup.template", "setup.bushing.diameter", "setup.cutter.diameter", "setup.cutter.angle"];

// live makes the panel of a form whose fields are these.
export function live(fields) {
  const picture = h("div", { class: "asked" });
  const joint = h("div", { class: "joint" });
  const slide = h("div", { class: "slide" });
  const box = h("section", { class: "live card", "aria-label": t("live.heading") }, h("h2", {}, t("live.heading")), picture, slide, joint);
  const panel = { fields, slide, joint, box, turn: 0, told: "" };
  const show = (event) => {
    const line = event.target.closest?.("input[id], fieldset[id]");
    const drawing = line && lit(line.id);
    if (drawing) picture.replaceChildren(drawing);
  };
  const changed = () => {
    clearTimeout(panel.timer);
    panel.timer = setTimeout(() => refresh(panel), settles);
  };
  return { box, watch: (form) => {
    form.addEventListener("focusin", show);
    form.addEventListener("change", changed);
    form.addEventListener("filled", changed);
    refresh(panel);
  } };
}

const known = (place, at) => at.split(".").reduce((value, name) => value?.[name], place) !== undefined;

// refresh asks for the joint as it is now, unless nothing of it changed.
async function refresh(panel) {
  if (!panel.box.isConnected) return;
  const asked = request(panel.fields, []);
  const { setup } = asked;
  const told = JSON.stringify([memory.units, setup]);
  if (told === panel.told) return;
  panel.told = told;
  const turn = ++panel.turn;
  const missing = needs.some((at) => !known(asked, at)) || Object.keys(setup.template).length < 2;
  if (missing) return hint(panel, "live.missing");
  panel.joint.setAttribute("aria-busy", "true");
  try {
    await redraw(panel, setup, turn);
  } catch (reason) {
    if (turn === panel.turn) unanswered(panel, reason);
  } finally {
    panel.joint.removeAttribute("aria-busy");
  }
}

function hint(panel, key) {
  panel.slide.replaceChildren();
  panel.joint.replaceChildren(h("p", { class: "help" }, t(key)));
}

// unanswered says why there is no joint to see. What is wrong with a field is
// said beside it once the form is sent.
function unanswered(panel, reason) {
  if (reason instanceof Stale) return;
  panel.slide.replaceChildren();
  if (reason instanceof Refused) return panel.joint.replaceChildren(...reason.fields.map((f) => h("p", { class: "help" }, f.text)));
  if (!(reason instanceof Trouble)) throw reason;
  panel.joint.replaceChildren(h("div", { class: "undrawn" }, words(reason), again(reason, () => {
    panel.told = "";
    refresh(panel);
  }, t("live.again"))));
}

async function redraw(panel, setup, turn) {
  const guess = setup.depth ?? middle(setup);
  const first = await ask("v1/fit-predictions", { units: memory.units, setup: { ...setup, depth: guess } });
  if (turn !== panel.turn) return;
  const marks = marksOf(setup, first.depth_for_target?.mm ?? inMM(guess));
  if (marks.length === 0) return hint(panel, "live.none");
  const items = marks.map(({ text }, i) => ({ id: String(i), operation: "fit-predictions", body: { units: memory.units, setup: { ...setup, depth: text } } }));
  const { items: results } = await ask("v1/batches", { items });
  if (turn !== panel.turn) return;
  const rungs = marks.map((mark, i) => ({ ...mark, fit: results[i].status === 200 ? results[i].body.fit : null })).filter((rung) => rung.fit);
  if (rungs.length === 0) return hint(panel, "live.none");
  ladder(panel, setup, rungs);
}

const middle = (setup) => (setup.pin_board?.thickness ? `${(0.55 * inMM(setup.pin_board.thickness)).toFixed(2)} mm` : "10 mm");

// marksOf are depths that can be set around one: quarter turns of the adjuster
// where its lead is known, else what a rule or a stop is set by (judgement), and
// the depth that was written.
function marksOf(setup, ideal) {
  const lead = setup.router?.adjuster_lead ? inMM(setup.router.adjuster_lead) / 4 : 0;
  const step = lead > 0.05 ? lead : memory.units === "in" ? 25.4 / 64 : 0.25;
  const own = setup.depth ? inMM(setup.depth) : NaN;
  const thick = setup.pin_board?.thickness ? inMM(setup.pin_board.thickness) : Infinity;
  const from = Math.max(least, Math.min(ideal - around, own || Infinity));
  const to = Math.min(thick - 0.5, Math.max(ideal + around, own || 0));
  const wide = Math.max(1, Math.ceil((to - from) / step / most)) * step;
  const all = [];
  for (let n = Math.ceil(from / wide - 1e-9); n * wide <= to + 1e-9 && all.length < most; n++) all.push({ mm: n * wide, text: written(n * wide) });
  const at = all.find(({ mm }) => Math.abs(mm - own) < 0.005);
  if (at) Object.assign(at, { text: setup.depth, own: true });
  else if (own > 0 && own < thick) all.push({ mm: own, text: setup.depth, own: true });
  return all.sort((a, b) => a.mm - b.mm);
}

// written is a depth as it would be typed.
function written(mm) {
  if (memory.units === "mm") return `${Math.round(mm * 1000) / 1000} mm`;
  const sixtyFourths = Math.round((mm / 25.4) * 64);
  if (Math.abs((sixtyFourths / 64) * 25.4 - mm) > 0.002) return `${(mm / 25.4).toFixed(4)} in`;
  return `${fraction(sixtyFourths, 64)} in`;
}

// The band is the likeliest, as the answer has it.
const bandOf = ({ likeliest }) => likeliest[0];

// ladder shows the slider, and the joint at one of its marks.
function ladder(panel, setup, rungs) {
  const best = rungs.reduce((b, rung, i) => (rung.fit.in_target > rungs[b].fit.in_target ? i : b), 0);
  const start = rungs.findIndex((rung) => rung.own);
  const said = h("output", { class: "said" });
  const cells = rungs.map(({ fit: f }) => h("span", { class: `rung ${bandOf(f)}` }));
  const line = h("input", { type: "range", min: 0, max: rungs.length - 1, step: 1, value: start < 0 ? best : start, "aria-label": t("live.depth") });
  const tell = () => {
    const rung = rungs[line.value];
    const text = t("live.at", { depth: shown(rung.text), band: t(`band.${bandOf(rung.fit)}`), share: share(rung.fit.in_target) });
    said.className = `said ${bandOf(rung.fit)}`;
    said.textContent = text;
    line.setAttribute("aria-valuetext", text);
    cells.forEach((cell, i) => cell.classList.toggle("here", i === Number(line.value)));
  };
  const settle = () => {
    tell();
    clearTimeout(panel.drawing);
    panel.drawing = setTimeout(() => figure(panel, { ...setup, depth: rungs[line.value].text }), settles / 2);
  };
  line.addEventListener("input", settle);
  const set = (e) => {
    e.stopPropagation(); // it is a line of the form that changes
    take(panel, rungs[line.value].text);
  };
  for (const event of ["change", "pointerup", "touchend"]) line.addEventListener(event, set); // a touch where it stands says so too
  panel.slide.replaceChildren(said, h("div", { class: "rungs", "aria-hidden": "true" }, cells), line,
    h("p", { class: "ends-of" }, h("span", {}, t("live.loose")), h("span", {}, t("live.tight"))),
    h("p", { class: "help" }, t("live.marks")));
  tell();
  figure(panel, { ...setup, depth: rungs[line.value].text });
}

// take writes the slider's depth into the form.
function take(panel, text) {
  memory.values.set("setup.depth", text);
  const line = document.getElementById(id("setup.depth"));
  if (line) line.value = local(text);
  const { setup } = request(panel.fields, []);
  panel.told = JSON.stringify([memory.units, setup]);
}

// bare leaves of a drawing what changes with the depth: its sizes stand in the
// answer, where there is room to read them.
function bare(pictures) {
  pictures.querySelectorAll("figure:not(:first-child)").forEach((one) => one.remove());
  pictures.querySelectorAll("[data-measure], text").forEach((one) => one.remove());
  return pictures;
}

async function figure(panel, setup) {
  const turn = ++panel.turn;
  panel.joint.setAttribute("aria-busy", "true");
  try {
    const pictures = await jointFigures(setup, ["end_view"]);
    if (turn !== panel.turn) return;
    panel.joint.replaceChildren(bare(pictures));
    fit(pictures);
  } catch (reason) {
    if (turn === panel.turn && !(reason instanceof Stale)) panel.joint.replaceChildren(h("p", { class: "help" }, t("answer.drawing.none")));
  } finally {
    panel.joint.removeAttribute("aria-busy");
  }
}
