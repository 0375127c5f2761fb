import { h, share } from "./dom.js";
import { bar, cautions, drawn, steps } from "./answers.js";
import { draw } from "./fields.js";
import { checks } from "./forms.js";
import { memory } from "./memory.js";
import { sheetButtons } from "./paper.js";
import { t } from "./texts.js";

// From this chance on a cause is acted on and no more is asked (judgement).
const sure = 0.85;

const shown = 3; // causes

// diagnosed answers: it doesn't fit. One check at a time, until it ends in steps.
export function diagnosed({ answer, asked }, page) {
  const [first] = answer.causes;
  const next = answer.next_check;
  const ends = first.probability >= sure || !next;
  return [
    h("h1", { tabindex: "-1" }, ends ? t("wrong.do", { cause: first.name }) : t("wrong.check")),
    answer.unexplained && h("p", { class: "broken" }, answer.unexplained_text),
    ends ? cure(first, asked, page) : check(next, page),
    causes(answer.causes),
    ends && next && h("details", {}, h("summary", {}, t("wrong.still")), check(next, page)),
    made(),
    cautions(answer.cautions),
  ];
}

// check asks for one check at the bench, and for what it showed.
function check(next, page) {
  const fields = checks[next.code];
  return h("section", { class: "check" },
    h("p", { class: "ask" }, h("strong", {}, next.text)),
    h("p", { class: "help" }, t("wrong.takes", { minutes: next.minutes, tool: next.tool })),
    h("form", { onsubmit: (e) => page.submit(e, () => checked(next.code, fields, page)), novalidate: true },
      draw(fields),
      h("div", { class: "ends" },
        h("button", { type: "submit", class: "main" }, t("wrong.found")),
        h("button", { type: "button", class: "quiet", onclick: () => page.act(() => cannot(next.code, page)) }, t("wrong.cannot")))),
    h("details", {}, h("summary", {}, t("wrong.outcomes")),
      h("ul", {}, next.outcomes.map((one) => h("li", {}, t("wrong.outcome", { if: one.if, means: one.means }))))));
}

// checked posts what was found; a check that nothing was said of was not made.
async function checked(code, fields, page) {
  if (fields.every((field) => field.read(memory.values) === undefined)) {
    page.complain([{ at: fields[0].at, text: t("wrong.nothing") }]);
    return;
  }
  memory.made.push(code);
  try {
    await page.askAgain();
  } catch (reason) {
    memory.made.pop();
    throw reason;
  }
}

async function cannot(code, page) {
  memory.unavailable.push(code);
  await page.askAgain();
}

// fieldsMade are those of the checks that were made, after the door's own: a
// size that was measured is sent as one.
export const fieldsMade = () => memory.made.flatMap((code) => checks[code]);

function causes(list) {
  return h("section", {}, h("h2", {}, t("wrong.likely")),
    h("ol", { class: "causes" }, list.slice(0, shown).map((cause) => h("li", {},
      h("div", { class: "chance" }, h("span", {}, cause.name), bar(cause.probability), h("span", { class: "share" }, share(cause.probability))),
      h("details", {}, h("summary", {}, t("wrong.more"), h("span", { class: "heard" }, `: ${cause.name}`)),
        h("p", {}, cause.text),
        h("p", {}, cause.check.text),
        steps(cause.cure))))));
}

// cure ends the call: what to do, the joint as it then is, the sheet to take along.
function cure(cause, asked, page) {
  return h("section", {}, h("p", {}, cause.text), steps(cause.cure), complete(asked.setup) && [
    h("h2", {}, t("wrong.now")),
    drawn(asked.setup, ["end_view"], page.act),
    sheetButtons(asked.setup, testCuts(asked), page.act),
  ], !complete(asked.setup) && h("div", { class: "paper" },
    h("p", { class: "help" }, t("wrong.incomplete")),
    h("button", { type: "button", class: "main", onclick: () => window.print() }, t("paper.steps"))));
}

// complete says whether a set-up is known well enough to be drawn.
const complete = (setup) =>
  Boolean(setup?.template && Object.keys(setup.template).length > 1 && setup.bushing?.diameter && setup.cutter?.diameter && setup.cutter?.angle && setup.depth);

// testCuts are those that the bench sheet takes into account: with a depth.
function testCuts(asked) {
  const seen = asked.test_cuts?.[0];
  return seen && Object.keys(seen).length > 0 ? [{ ...seen, depth: asked.setup.depth }] : [];
}

function made() {
  const list = [...memory.made.map((code) => t("wrong.made", { check: t(`check.${code}`) })), ...memory.unavailable.map((code) => t("wrong.not_made", { check: t(`check.${code}`) }))];
  return list.length === 0 ? null : h("details", {}, h("summary", {}, t("wrong.so_far")), h("ul", {}, list.map((text) => h("li", {}, text))));
}
