import { h, share } from "./dom.js";
import { bar, cautions, drawn, facts, inTheWood, steps, whichStop } from "./answers.js";
import { nextFigures } from "./drawing.js";
import { draw, told } from "./fields.js";
import { checks } from "./forms.js";
import { memory } from "./memory.js";
import { another, withDepths } from "./next.js";
import { sheetButtons } from "./paper.js";
import { t } from "./texts.js";

// What it may be is told as far as this chance, but always the first two.
const worthTelling = 0.05;

const doubted = 2; // readings that are told to be looked at again

// diagnosed answers: it doesn't fit. What to do comes first: one check at a
// time, until a test joint or a change is worth more.
export function diagnosed({ answer, asked }, page) {
  const { decision } = answer;
  const inside = decision.check ? toCheck(answer, page) : toDo(answer, asked, page);
  return [h("h1", { tabindex: "-1" }, decision.text), inside, made(), cautions(answer.cautions)];
}

// toCheck asks for the check that was decided on. Until it is made nothing on
// the page says what to set, nor asks for another check.
function toCheck({ decision, next_check: next, answers }, page) {
  return [
    h("p", {}, decision.why.text),
    memory.made.includes(decision.check) && h("p", { class: "hint" }, t("wrong.again")),
    check(next, page),
    mayBe(answers, false),
  ];
}

// toDo says what to cut or change, and what the joint will then be like.
function toDo(answer, asked, page) {
  const { decision } = answer;
  return [
    answer.unexplained && unexplained(answer.misfits),
    h("p", {}, decision.why.text),
    decision.depth && h("p", { class: "help" }, answer.heard),
    h("h2", {}, t("answer.steps")),
    steps(answer.steps),
    decision.do === "stop" ? null : facts([[t("fact.next"), share(decision.chance)]]),
    decision.depth && inTheWood(),
    another(answer, asked, page),
    whichStop(),
    sheet(answer, asked, page),
    decision.do === "stop" ? null : mayBe(answer.answers, true),
    readAgain(answer.disagreements),
  ];
}

// The outcomes of these tell depths, which are none to be set.
const ofDepth = ["measure_depth", "look_both_ends"];

// check asks for one check, and for what it showed. A question on the phone
// takes no tool, and who is asked may not know.
function check(next, page) {
  const fields = checks[next.code];
  const question = next.code.startsWith("ask_");
  return h("section", { class: "check" },
    h("p", { class: "ask" }, next.text),
    !question && h("p", { class: "help" }, t("wrong.takes", { tool: next.tool })),
    h("form", { onsubmit: (e) => page.submit(e, () => checked(next.code, fields, page)), novalidate: true },
      draw(fields),
      h("div", { class: "ends" },
        h("button", { type: "submit", class: "main" }, t(question ? "wrong.answered" : "wrong.found")),
        !question && h("button", { type: "button", class: "quiet", onclick: () => page.act(() => cannot(next.code, page)) }, t("wrong.cannot")))),
    !ofDepth.includes(next.code) && next.outcomes.length > 0 && h("details", {}, h("summary", {}, t("wrong.outcomes")),
      h("ul", {}, next.outcomes.map((one) => h("li", {}, t("wrong.outcome", { if: one.if, means: one.means }))))));
}

const readings = (fields) => JSON.stringify(fields.map((field) => field.read(memory.values) ?? null));

// checked posts what was found; a check that nothing was said of was not made.
// Who reads the same a second time reads no better here.
async function checked(code, fields, page) {
  if (!fields.some((field) => told(field, memory.values))) {
    page.complain([{ at: fields.find((field) => field.when(memory.values)).at, text: t("wrong.nothing") }]);
    return;
  }
  const found = readings(fields);
  await page.askAgain({
    made: [...memory.made.filter((one) => one !== code), code],
    answered: [...memory.answered.filter((one) => one !== code), code],
    unavailable: memory.found.get(code) === found ? [...memory.unavailable, code] : memory.unavailable,
    found: new Map(memory.found).set(code, found),
  });
}

const cannot = (code, page) => page.askAgain({ unavailable: [...memory.unavailable, code] });

// fieldsMade are those of the checks that were made, after the door's own: a
// size that was measured is sent as one.
export const fieldsMade = () => memory.made.flatMap((code) => checks[code]);

// mayBe lists what may be wrong: causes that nothing tells apart stand as one.
// What would put each right is told only where no check comes before it.
function mayBe(answers, cures) {
  return h("section", {}, h("h2", {}, t("wrong.likely")),
    h("ol", { class: "causes" }, answers.filter((one, i) => i < 2 || one.probability >= worthTelling).map((one) => h("li", {},
      h("div", { class: "chance" }, h("span", {}, one.text), bar(one.probability), h("span", { class: "share" }, share(one.probability))),
      cures && one.cure.length > 0 && h("details", {}, h("summary", {}, t("wrong.more"), h("span", { class: "heard" }, `: ${one.text}`)), steps(one.cure))))));
}

const list = (texts) => h("ul", {}, texts.map((text) => h("li", {}, text)));

const unexplained = (misfits) =>
  h("div", { class: "broken" }, h("p", {}, t("wrong.unexplained")), misfits.length > 0 && [h("p", {}, t("wrong.misfits")), list(misfits.map((one) => one.text))]);

const readAgain = (disagreements) =>
  disagreements.length === 0 ? null : h("section", {}, h("h2", {}, t("wrong.doubted")), list(disagreements.slice(0, doubted).map((one) => one.text)));

// sheet shows the joint to cut, and lets its bench sheet be taken along. Both
// come of all that was told, as the decision does.
function sheet({ decision }, asked, page) {
  if (!complete(asked.setup)) {
    return h("div", { class: "paper" },
      h("p", { class: "help" }, t("wrong.incomplete")),
      h("button", { type: "button", class: "main", onclick: () => window.print() }, t("paper.steps")));
  }
  const all = { ...asked, test_cuts: withDepths(asked) };
  return [decision.depth && joint(all), sheetButtons(all, page.act, "wrong")];
}

// joint is drawn as it is to be cut. What to do stands without it.
function joint(all) {
  return drawn(() => nextFigures(all), t("wrong.then"));
}

// complete says whether a set-up is known well enough to be drawn.
const complete = (setup) =>
  Boolean(setup?.template && Object.keys(setup.template).length > 1 && setup.bushing?.diameter && setup.cutter?.diameter && setup.cutter?.angle && setup.depth);

function made() {
  const all = [
    ...memory.made.map((code) => t("wrong.made", { check: t(`check.${code}`) })),
    ...memory.unavailable.filter((code) => !memory.made.includes(code)).map((code) => t("wrong.not_made", { check: t(`check.${code}`) })),
  ];
  return all.length === 0 ? null : h("details", {}, h("summary", {}, t("wrong.so_far")), list(all));
}
