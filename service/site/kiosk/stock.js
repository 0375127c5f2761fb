import { look } from "./ask.js";
import { fraction } from "./lengths.js";
import { memory } from "./memory.js";

// The usual sizes come from the service, which knows them anyway. Without them
// the page works as well: nobody waits for them.
const lists = { bushings: [], cutters: [] };

// load fetches the sizes that are not there yet.
export function load() {
  for (const name of Object.keys(lists)) {
    if (lists[name].length > 0) continue;
    look(`v1/${name}`).then((answer) => (lists[name] = answer[name]), () => {});
  }
}

const inFractions = (inches) => {
  const sixtyFourths = inches * 64;
  return Math.abs(sixtyFourths - Math.round(sixtyFourths)) > 1e-6 ? null : `${fraction(Math.round(sixtyFourths), 64)} in`;
};

// sizes writes each size once, in the unit it is made in, ours first.
function sizes(of) {
  const texts = new Map(of.map((d) => [d.mm, inFractions(d.in) ?? `${d.mm} mm`]));
  const all = [...texts].sort(([a], [b]) => a - b).map(([, text]) => text);
  const ours = (text) => text.endsWith(memory.units);
  return [...all.filter(ours), ...all.filter((text) => !ours(text))];
}

export const bushings = () => sizes(lists.bushings.map((b) => b.diameter));
export const cutters = () => sizes(lists.cutters.map((c) => c.diameter));
// Boards as they are commonly sold planed: common practice, no source.
const thicknesses = { in: ["3/4 in", "5/8 in", "1/2 in"], mm: ["19 mm", "18 mm", "16 mm", "15 mm", "12 mm"] };
export const boards = () => thicknesses[memory.units];
export const angles = () => [...new Set(lists.cutters.map((c) => c.angle))].sort((a, b) => a - b).map(String);
