import { ask } from "./ask.js";
import { h } from "./dom.js";
import { memory } from "./memory.js";
import { t } from "./texts.js";

const order = ["joint-end-view", "joint-play-larger", "joint-plan", "joint-cutter", "sheet-end-view"];

// A label, 4.2 mm high, is legible on a phone from about 11 px on: px for each mm.
const legible = 2.6;

// jointFigures are those of the joint that a set-up makes.
export const jointFigures = (setup, views) => figures("v1/joint-drawings", { units: memory.units, setup, views });

// nextFigures are those of the joint to cut next, after all that was told.
export const nextFigures = (told) => figures("v1/setup-sheets", { units: memory.units, ...told });

// figures asks for a drawing and shows each of its figures by itself, as wide
// as the page: a sheet of paper is no good on a phone.
async function figures(path, body) {
  const svg = await ask(path, body, "image/svg+xml");
  const sheet = new DOMParser().parseFromString(await svg.text(), "image/svg+xml").documentElement;
  const box = h("div", { class: "figures" });
  const told = sheet.querySelector("desc").textContent;
  for (const name of order) {
    const group = sheet.querySelector(`#${name}`);
    if (group) box.append(figure(sheet, group, told));
  }
  return box;
}

function figure(sheet, group, told) {
  const one = document.importNode(sheet, false);
  for (const name of ["width", "height", "aria-labelledby"]) one.removeAttribute(name);
  one.setAttribute("role", "img");
  one.setAttribute("aria-label", `${t(`view.${group.id}`)}. ${told}`);
  const holder = document.importNode(group.parentNode, false); // has the font
  holder.append(document.importNode(group, true));
  for (const text of holder.querySelectorAll("text")) if (text.textContent.endsWith("1:1")) text.remove(); // not on a screen
  one.append(holder);
  return h("figure", { "data-view": group.id, "aria-label": t(`view.${group.id}`) }, one);
}

// fit cuts a figure's paper down to what is drawn on it; it must be on the page.
export function fit(box) {
  for (const svg of box.querySelectorAll("svg")) {
    const { x, y, width, height } = svg.querySelector("g").getBBox();
    svg.setAttribute("viewBox", `${x - 2} ${y - 2} ${width + 4} ${height + 4}`);
    svg.style.minWidth = `${legible * width}px`;
    const figure = svg.parentNode;
    if (figure.scrollWidth > figure.clientWidth) figure.tabIndex = 0; // to be scrolled by keyboard too
  }
}
