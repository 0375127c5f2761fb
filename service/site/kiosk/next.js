import { h } from "./dom.js";
import { choice, draw, length, told } from "./fields.js";
import { feels } from "./forms.js";
import { memory } from "./memory.js";
import { t } from "./texts.js";

// The next test joint: those before it go on being told.

// What it is asked for is remembered apart until it is told: till then the one
// before it is the last.
const fields = {
  depth: length("setup.depth", { key: "next.depth" }),
  feel: choice("test_cuts.0.feel", feels, { key: "next.feel", large: true }),
  gap: length("test_cuts.0.pulled_gap", { key: "next.gap" }),
};

// What was measured of these holds for the next joint too; the rest was of the
// one before it, or may have been put right since.
const ofTools = ["measure_bushing", "measure_cutter", "measure_cutter_angle", "scrap_slot", "measure_boards", "measure_template"];

// settable is a depth as near as it is set and measured: as the service says it.
const settable = ({ mm, in: inches }) => (memory.units === "in" ? `${Math.round(inches * 1000) / 1000} in` : `${Math.round(mm * 20) / 20} mm`);

// another asks what became of the joint that was to be cut.
export function another({ decision }, asked, page) {
  if (decision.do === "stop" || !asked.setup?.depth) return null;
  memory.values.set("next.depth", decision.depth ? settable(decision.depth) : "");
  return h("details", { class: "card next" }, h("summary", {}, t("next.heading")),
    h("p", { class: "help" }, t("next.same")),
    h("form", { novalidate: true, onsubmit: (e) => page.submit(e, () => cut(asked, page)) },
      draw(Object.values(fields)),
      h("div", { class: "ends" }, h("button", { type: "submit", class: "main" }, t("next.submit")))));
}

// withDepths are the test joints told so far, each with the depth set for it.
export const withDepths = (asked) => asked.test_cuts.map((cut) => ({ depth: asked.setup.depth, ...cut }));

async function cut(asked, page) {
  const missing = [fields.depth, fields.feel].filter((field) => !told(field, memory.values));
  if (missing.length > 0) {
    page.complain(missing.map(({ at }) => ({ at, code: "missing" })));
    return;
  }
  const values = new Map([...memory.values].filter(([key]) => !/^(test_cuts|findings|next)\./.test(key)));
  values.set("setup.depth", fields.depth.read(memory.values));
  values.set("test_cuts.0.feel", fields.feel.read(memory.values));
  values.set("test_cuts.0.pulled_gap", fields.gap.read(memory.values) ?? "");
  const kept = (codes) => codes.filter((code) => ofTools.includes(code));
  await page.askAgain({
    values, made: kept(memory.made), answered: kept(memory.answered),
    unavailable: memory.unavailable.filter((code) => !memory.made.includes(code)),
    cuts: withDepths(asked),
  });
}
