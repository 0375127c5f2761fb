import { ask } from "./ask.js";
import { h } from "./dom.js";
import { memory } from "./memory.js";
import { t } from "./texts.js";

const order = ["joint-end-view", "joint-play-larger", "joint-plan", "joint-cutter", "sheet-end-view"];

// How high a drawing's smallest label is at least, px: on a phone at hand, and on a
// kiosk that is read from 1.5 m (see style.css).
const upright = matchMedia("(min-width: 60em) and (min-height: 75em)");
const legible = () => (upright.matches ? 33 : 11.5);

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
// One that is wider than there is room shows that it can be moved.
export function fit(box) {
  for (const svg of box.querySelectorAll("svg")) {
    const bare = svg.querySelector("text") === null;
    const { x, y, width, height } = bare ? ofParts(svg) : svg.querySelector("g").getBBox();
    svg.setAttribute("viewBox", `${x - 2} ${y - 2} ${width + 4} ${height + 4}`);
    const sizes = [...svg.querySelectorAll("text")].map((text) => Number(text.getAttribute("font-size")));
    if (sizes.length === 0) continue; // nothing to read
    const smallest = Math.min(...sizes);
    svg.style.minWidth = `${(legible() / smallest) * (width + 4)}px`;
    const figure = svg.parentNode;
    if (figure.scrollWidth <= figure.clientWidth) continue;
    figure.tabIndex = 0; // to be scrolled by keyboard too
    figure.classList.add("wide");
    figure.before(h("p", { class: "help moves" }, t("answer.drawing.moves")));
  }
}

// ofParts is what the parts themselves take, without what points at them.
function ofParts(svg) {
  const boxes = [...svg.querySelectorAll("[data-part]")].map((part) => part.getBBox());
  const [x, y] = ["x", "y"].map((side) => Math.min(...boxes.map((box) => box[side])));
  return { x, y, width: Math.max(...boxes.map((box) => box.x + box.width)) - x, height: Math.max(...boxes.map((box) => box.y + box.height)) - y };
}
