import { fraction } from "./lengths.js";
import { memory } from "./memory.js";
import { t } from "./texts.js";

// Lengths as people set and read them, in the customer's unit and the page's
// language. The service writes them in the same way in its sentences.

const inch = 25.4; // mm
const thou = inch / 1000;
const mark = inch / 64;

export const comma = t("figure.comma");

// local is a number, or a text that can be posted, as the language writes it.
export const local = (text) => (comma === "." ? String(text) : String(text).replaceAll(".", comma));

// posted is a text with its decimals as programs write them.
export const posted = (text) => (comma === "." ? text : text.replaceAll(comma, "."));

const nearest = (x, step) => Math.sign(x) * Math.round(Math.abs(x) / step) * step;

// decimals writes a number without zeros at its end.
const decimals = (x, places) => local(String(Number(x.toFixed(places)) + 0));

const inMillimetres = (mm) => `${decimals(mm, 3)}${t("figure.mm")}`;
const inInches = (mm) => `${decimals(mm / inch, 4)}${t("figure.inch")}`;

// marks is a size in 64ths of an inch, in its lowest terms.
const marks = (mm) => `${mm < 0 ? "-" : ""}${fraction(Math.round(Math.abs(mm) / mark), 64) || "0"}`;

const isMark = (mm) => Math.abs(mm - nearest(mm, mark)) < thou / 2;

// about is an estimate of what is read of a joint: 0.01 mm or 0.001 in.
export const about = ({ mm }) => (memory.units === "in" ? inInches(nearest(mm, thou)) : inMillimetres(nearest(mm, 0.01)));

// setting is a depth to set: 0.05 mm, or 0.001 in with the nearest 64th beside it;
// where the router's steps are known, one of these.
export function setting({ mm }, stepped = false) {
  if (memory.units !== "in") return inMillimetres(nearest(mm, stepped ? 0.01 : 0.05));
  if (isMark(mm)) return `${marks(mm)}${t("figure.inch")}`;
  const side = mm > nearest(mm, mark) ? t("figure.just_over") : t("figure.just_under");
  return `${inInches(nearest(mm, thou))} (${side}${marks(nearest(mm, mark))})`;
}

// size is that of a tool: in 64ths of an inch where it is one.
export function size({ mm }) {
  if (memory.units !== "in") return inMillimetres(nearest(mm, 0.01));
  return isMark(mm) && nearest(mm, mark) !== 0 ? `${marks(mm)}${t("figure.inch")}` : inInches(nearest(mm, thou));
}

// stepped says whether a setting is one of those that the router is known to take.
export const stepped = (how) => Boolean(how && (how.steps !== null || how.stack?.length > 0));

// shown is a text as it would be posted, as the language writes it.
export function shown(text) {
  const [, number, unit] = text.match(/^(.*?)( mm| in)$/) ?? [];
  return unit === undefined ? local(text) : `${local(number)}${t(unit === " mm" ? "figure.mm" : "figure.inch")}`;
}
