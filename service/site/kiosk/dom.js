// h makes an element: attributes by name ("on..." are listeners, true stands
// for an attribute without value, false and null for none), then what is in it.
export function h(name, attributes = {}, ...inside) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else element.setAttribute(key, value === true ? "" : value);
  }
  element.append(...inside.flat(Infinity).filter((part) => part !== null && part !== undefined && part !== false));
  return element;
}

// svg makes an element of a drawing, as h does.
export function svg(name, attributes = {}, ...inside) {
  const element = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.append(...inside.flat(Infinity).filter(Boolean));
  return element;
}

// id turns the place of a value in a request into an element's id.
export const id = (at) => "at-" + at.replaceAll(".", "-");

// tell has a screen reader say something.
export function tell(text) {
  document.getElementById("told").textContent = text;
}

// share writes a probability, never as sure as 0 or 100 %.
export function share(p) {
  if (p < 0.01) return "<1 %";
  if (p > 0.99) return ">99 %";
  return `${Math.round(p * 100)} %`;
}
