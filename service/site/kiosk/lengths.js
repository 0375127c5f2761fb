import { memory } from "./memory.js";

// Lengths as they are written: a number, and a unit behind it.

// measured tells a text's number from its unit; a text may lack either.
export function measured(text) {
  const [, number, unit] = text.trim().match(/^(.*?)\s*(mm|cm|in|inch|"|″)?$/);
  return { number, unit: { inch: "in", '"': "in", "″": "in" }[unit] ?? unit };
}

// withUnit writes the unit that a length is meant in behind it.
export function withUnit(text, units = memory.units) {
  const { number, unit } = measured(text);
  if (number === "" || /[a-z]/i.test(number)) return text.trim();
  return `${number} ${unit ?? units}`;
}

// together writes number and unit; a text that brings its own unit keeps it.
export function together(text, unit) {
  const own = measured(text);
  return `${own.number} ${own.unit ?? unit}`;
}

// inMM is a length's text in mm, without its tolerance; NaN where it can't be read.
export function inMM(text, units = memory.units) {
  const { number, unit } = measured(String(text));
  const of = { mm: 1, cm: 10, in: 25.4 }[unit ?? units];
  const parts = number.split(/\s*[±+]/)[0].trim().replace(",", ".").split(/\s+/);
  return of * parts.reduce((sum, part) => {
    const [over, under = "1"] = part.split("/");
    return sum + (over === "" ? NaN : Number(over) / Number(under));
  }, 0);
}

// asTyped is a length of an answer as a customer would have typed it.
export const asTyped = (length) => (memory.units === "in" ? `${length.in} in` : `${Math.round(length.mm * 1000) / 1000} mm`);

// fraction is n of so many parts of an inch, in its lowest terms; empty for none.
export function fraction(n, of) {
  while (n % 2 === 0 && of > 1) [n, of] = [n / 2, of / 2];
  const whole = Math.floor(n / of);
  return [whole || "", n % of === 0 ? "" : `${n % of}/${of}`].filter(Boolean).join(" ");
}
