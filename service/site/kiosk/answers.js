import { Refused, Stale, Trouble } from "./ask.js";
import { h, share } from "./dom.js";
import { fit, jointFigures } from "./drawing.js";
import { about, local, setting, size, stepped } from "./figures.js";
import { asTyped } from "./lengths.js";
import { sheetButtons } from "./paper.js";
import { corners } from "./pictures.js";
import { t } from "./texts.js";
import { again, words } from "./trouble.js";

const bands = ["too_loose", "loose", "hand_fit", "tight", "will_not_close"];

// bar shows a share of 1, to see; the figure beside it is to be read.
export function bar(p) {
  const full = h("span", {});
  full.style.width = `${100 * p}%`;
  return h("span", { class: "bar", "aria-hidden": "true" }, full);
}

const chance = (name, p, strong = false) =>
  h("li", { class: strong ? "chance strong" : "chance" }, h("span", {}, name), bar(p), h("span", { class: "share" }, share(p)));

// chances are the ways in which a joint can come out; that there is none at all
// stands there where it can be so.
const chances = (fit) =>
  h("ul", { class: "chances" }, [...bands, ...(fit.probability.no_joint > 0 ? ["no_joint"] : [])].map((band) => chance(t(`band.${band}`), fit.probability[band], fit.likeliest.includes(band))));

export const facts = (pairs) =>
  h("dl", { class: "facts" }, pairs.filter(([, value]) => value).map(([name, value]) => h("div", {}, h("dt", {}, name), h("dd", {}, value))));

// steps are what to do, in order.
export const steps = (list) =>
  h("ol", { class: "steps" }, list.map((step) => h("li", {}, h("strong", {}, step.text), h("span", {}, step.why))));

const broken = (limits) => {
  const list = limits.filter((limit) => limit.ok === false);
  return list.length === 0 ? null : h("section", { class: "broken" }, h("h2", {}, t("answer.broken")), h("ul", {}, list.map((limit) => h("li", {}, limit.text))));
};

export const cautions = (list) =>
  h("section", { class: "cautions" }, h("h2", {}, t("answer.safety")), h("ul", {}, list.map((caution) => h("li", {}, caution.text))));

// drawn is filled with figures when they come. The answer stands without them:
// what went wrong is said in their place, and they can be asked for again.
export function drawn(coming, heading) {
  const box = h("section", { class: "drawn", "aria-label": t("answer.drawing") });
  const fill = async () => {
    box.replaceChildren(h("p", { class: "help" }, t("answer.drawing.coming")));
    try {
      const pictures = await coming();
      box.replaceChildren(...(heading ? [h("h2", {}, heading)] : []), pictures);
      fit(pictures);
    } catch (reason) {
      if (!(reason instanceof Stale)) box.replaceChildren(...undrawn(reason, fill));
    }
  };
  fill();
  return box;
}

function undrawn(reason, fill) {
  if (reason instanceof Refused) return [h("p", { class: "help" }, t("answer.drawing.refused"))];
  if (!(reason instanceof Trouble)) throw reason;
  return [h("div", { class: "undrawn", role: "status" }, h("p", {}, t("answer.drawing.none")), words(reason), again(reason, fill))];
}

const settings = (router) => [
  [t("fact.below_base"), router?.below_base && setting(router.below_base)],
  [t("fact.below_bushing"), router?.below_bushing && setting(router.below_bushing)],
];

// whichStop shows how the boards of each corner lie, and which edge goes to the stop.
export function whichStop() {
  const picture = corners();
  return picture && h("details", { class: "card" }, h("summary", {}, t("answer.stops")), h("p", {}, t("answer.stops.rule")), picture);
}

export const inTheWood = () => h("p", { class: "hint" }, t("answer.in_the_wood"));

const depthOf = (one) => setting(one.depth, stepped(one.setting));

// which answers: which cutter, and how deep?
export function which({ answer, asked, rank = 0 }, page) {
  const { recommendations: list, changes, refused } = answer;
  if (list.length === 0) return noneServes(answer, changes, refused);
  const best = list[rank];
  const cutter = sized(best.cutter);
  const setup = { ...asked.setup, cutter, depth: best.depth };
  return [
    h("h1", { tabindex: "-1" }, t("which.take", { cutter: size(best.cutter.diameter), angle: local(best.cutter.angle), depth: depthOf(best) })),
    facts([
      [t("fact.depth"), depthOf(best)],
      [t("fact.lap"), best.lap && about(best.lap)],
      [t("fact.first"), share(best.fit.in_target)],
      ...settings(best.router),
    ]),
    inTheWood(),
    drawn(() => jointFigures(setup, ["end_view", "cutter"])),
    h("ul", { class: "why" }, [best.why].flat().filter(Boolean).map((why) => h("li", {}, why))),
    broken(best.limits),
    whichStop(),
    sheetButtons({ setup }, page.act, "fit"),
    page.onward({ "setup.cutter.diameter": asTyped(best.cutter.diameter), "setup.cutter.angle": String(best.cutter.angle), "setup.depth": asTyped(best.depth) }),
    others(list, rank, page),
    notThese(refused),
    cautions(answer.cautions),
  ];
}

// sized leaves of a recommended cutter what a request takes.
function sized(cutter) {
  return Object.fromEntries(Object.entries(cutter).filter(([, value]) => value !== null));
}

function noneServes(answer, changes, refused) {
  return [
    h("h1", { tabindex: "-1" }, t("which.none")),
    h("p", {}, answer.summary),
    h("ul", { class: "steps" }, changes.map((change) => h("li", {}, h("strong", {}, change.text)))),
    notThese(refused),
    cautions(answer.cautions),
  ];
}

function others(list, rank, page) {
  const rest = list.map((one, i) => ({ one, i })).filter(({ i }) => i !== rank).slice(0, 5);
  if (rest.length === 0) return null;
  return h("details", {}, h("summary", {}, t("which.others")),
    h("ul", { class: "others" }, rest.map(({ one, i }) => h("li", {},
      h("button", { type: "button", class: "quiet", onclick: () => page.again({ rank: i }) },
        t("which.other", { cutter: size(one.cutter.diameter), angle: local(one.cutter.angle), depth: depthOf(one), share: share(one.fit.in_target) }))))));
}

function notThese(refused) {
  const few = refused.slice(0, 6);
  return few.length === 0 ? null : h("details", {}, h("summary", {}, t("which.refused")),
    h("ul", {}, few.map((one) => h("li", {}, h("strong", {}, `${size(one.cutter.diameter)}, ${local(one.cutter.angle)}°: `), one.why_not))));
}

// headline says what is likeliest, and where it is a toss-up, between what.
const headline = ({ likeliest }) =>
  likeliest.length === 1 ? t(`fits.${likeliest[0]}`) : t("fits.toss_up", { bands: likeliest.map((band) => t(`band.${band}`).toLowerCase()).join(" / ") });

// fits answers: will it fit?
export function fits({ answer, correction, asked }, page) {
  const { fit: predicted } = answer;
  return [
    h("h1", { tabindex: "-1" }, headline(predicted)),
    h("p", {}, answer.summary),
    chances(predicted),
    drawn(() => jointFigures(asked.setup, asked.setup.template.opening_reach ? ["end_view", "plan"] : ["end_view"])), // no plan without reaches
    h("h2", {}, t("answer.steps")),
    steps(correction.steps),
    facts([
      [t("fact.play"), about(predicted.play)],
      [t("fact.pulled"), predicted.pulled_gap && about(predicted.pulled_gap)],
      ...settings(answer.router_settings),
    ]),
    inTheWood(),
    broken(answer.limits),
    measureFirst(answer.measure_first),
    whichStop(),
    sheetButtons({ setup: asked.setup }, page.act, "fit"),
    page.onward({}),
    cautions(correction.cautions),
  ];
}

function measureFirst(list) {
  return !list?.length ? null : h("section", {}, h("h2", {}, t("answer.measure")), h("ul", {}, list.map((one) => h("li", {}, one.text))));
}
