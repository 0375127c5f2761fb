import { looked } from "./ask.js";
import { h } from "./dom.js";
import { t } from "./texts.js";

// Pictures of what is to be measured, from where to where: drawn by the service
// with what draws the joint. A picture has every dimension; the one that is asked
// for is lit.
let sheet = null;

// load fetches the pictures; without them the words stand alone.
export function load() {
  const at = document.documentElement.dataset.pictures;
  looked(at, "image/svg+xml").then(async (svg) => {
    sheet = new DOMParser().parseFromString(await svg.text(), "image/svg+xml").documentElement;
  }, () => {});
}

// place is what a line asks for: its id without what all have in common.
const place = (line) => line.replace(/^at-/, "").replace(/^(setup|test_cuts-\d+|findings)-/, "").replace(/^along-\d-/, "").replace(/-side$/, "");

// corners are the four corners of a drawer as their boards lie at the template.
export function corners() {
  const group = sheet?.querySelector("#measure-corners");
  return group ? h("div", { class: "measure corners" }, shown(group)) : null;
}

// shown is one of the sheet's pictures by itself.
function shown(group) {
  const one = document.importNode(sheet, false);
  for (const name of ["width", "height", "aria-labelledby"]) one.removeAttribute(name);
  one.setAttribute("viewBox", group.dataset.box);
  one.setAttribute("role", "img");
  one.setAttribute("aria-label", t(`shows.${group.id.replace("measure-", "")}`));
  const holder = document.importNode(group.parentNode, false); // has the font
  holder.append(document.importNode(group, true));
  one.append(holder);
  return one;
}

// lit is the picture for the line with an id, null where there is none.
export function lit(line) {
  const wanted = place(line);
  const dim = sheet?.querySelector(`[data-for~="${CSS.escape(wanted)}"]`);
  if (!dim) return null;
  const one = shown(dim.closest("[data-box]"));
  for (const g of one.querySelectorAll("[data-for]")) {
    if (g.dataset.for.split(" ").includes(wanted)) g.classList.add("lit");
    else g.remove();
  }
  return h("div", { class: "measure" }, one);
}
