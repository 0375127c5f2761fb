import { svg } from "./dom.js";
import { inMM } from "./lengths.js";

// Small pictures of what a shop has, all to one scale, so that a wide bushing is
// seen to be wider. A unit is 1 mm.

const wide = 44; // mm that a picture shows
const high = 24;

const size = (value, otherwise) => {
  const mm = typeof value === "object" && value ? value.mm : typeof value === "number" ? value : inMM(String(value ?? ""), "mm");
  return Number.isFinite(mm) ? mm : otherwise;
};

const picture = (...paths) => svg("svg", { viewBox: `0 0 ${wide} ${high}`, class: "shape", "aria-hidden": "true" },
  paths.map((d) => svg("path", { d, "vector-effect": "non-scaling-stroke" })));

// A template from above: its openings, half round at their ends.
export function ofTemplate(template) {
  const pass = template.pin_pass ?? template;
  const opening = size(pass.opening, 12);
  const pitch = size(template.pitch, opening + size(pass.finger, 10));
  let d = `M0 2H${wide}V22`;
  for (let x = wide - (pitch - opening) / 2; x > 0; x -= pitch) {
    const left = Math.max(0, x - opening);
    d += `H${Math.max(0, x)}V${8 + opening / 2}A${opening / 2} ${opening / 2} 0 0 0 ${x - opening} ${8 + opening / 2}V22`;
    if (left === 0) break;
  }
  return picture(`${d}H0Z`);
}

// A bushing from below: its barrel, and the hole in it.
export function ofBushing(bushing) {
  const ring = (r) => `M${wide / 2 - r} 12a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0Z`;
  const r = size(bushing.diameter, 11) / 2;
  return picture(ring(r) + ring(size(bushing.bore, 1.7 * r) / 2));
}

// A cutter from the side, its tip down.
export function ofCutter(cutter) {
  const r = size(cutter.diameter, 12) / 2;
  const long = Math.min(14, size(cutter.cutting_length, 12));
  const top = Math.max(1, r - long * Math.tan((cutter.angle * Math.PI) / 180));
  const m = wide / 2;
  return picture(`M${m - r} 22H${m + r}L${m + top} ${22 - long}V2H${m - top}V${22 - long}Z`);
}

// A board from its end.
export function ofBoard(board) {
  const thick = Math.min(high, size(board.thickness, 18));
  return picture(`M4 ${(high - thick) / 2}h${wide - 8}v${thick}h${8 - wide}Z`);
}
