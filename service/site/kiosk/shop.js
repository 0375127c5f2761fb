import { look } from "./ask.js";
import { h, id } from "./dom.js";
import { withUnit } from "./lengths.js";
import { memory } from "./memory.js";
import { ofBoard, ofBushing, ofCutter, ofTemplate } from "./shapes.js";
import { t } from "./texts.js";

// What the shop has, as its operator listed it: picked by picture, in one touch.
// Where nothing is listed the page asks for sizes, as it does without.
let shop = { templates: [], bushings: [], cutters: [], boards: [] };

// load fetches the list, and says when it is there.
export function load(there) {
  look("v1/shop").then((answer) => {
    shop = answer;
    if (Object.values(shop).flat().length > 0) there();
  }, () => {});
}

const serves = (use) => (board) => [undefined, "both", use].includes(board.serves);

// What can be picked for each part of a set-up: a name, its picture, and what
// goes into a request.
const kinds = {
  template: () => shop.templates.map(({ name, template }) => ({ name, part: template, picture: () => ofTemplate(template) })),
  bushing: () => shop.bushings.map(({ name, bushing }) => ({ name, part: bushing, picture: () => ofBushing(bushing) })),
  cutter: () => shop.cutters.map(({ name, cutter }) => ({ name, part: cutter, picture: () => ofCutter(cutter) })),
  pin_board: () => boards("pin_board"),
  tail_board: () => boards("tail_board"),
};

const boards = (use) => shop.boards.filter(serves(use)).map(({ name, serves: _, ...part }) => ({ name, part: fromShop(part, ["name"]), picture: () => ofBoard(part) }));

const fromShop = (part, without) => Object.fromEntries(Object.entries(part).filter(([key]) => !without.includes(key)));

const offered = (kind) => kinds[kind]();

// measured are the members that are lengths: all but these.
const plain = ["angle", "angle_tolerance", "moisture", "moisture_tolerance"];

// inUnits writes the unit that the shop meant behind each length without one.
function inUnits(value, name = "") {
  if (Array.isArray(value)) return value.map((one) => inUnits(one));
  if (value && typeof value === "object") {
    if ("mm" in value) return `${value.mm} mm`;
    return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, inUnits(one, key)]));
  }
  if (plain.includes(name)) return value;
  if (typeof value === "number") return `${value} ${shop.units ?? "mm"}`;
  return /^[\d.]/.test(value) ? withUnit(value, shop.units ?? "mm") : value;
}

// leaves are a part's values by their places.
function leaves(at, value) {
  if (value && typeof value === "object") return Object.entries(value).flatMap(([key, one]) => leaves(`${at}.${key}`, one));
  return [[at, String(value)]];
}

const key = (kind) => `shop.${kind}`;
const other = "other";

// picked is the place in the list of what was picked: the only one by itself.
const picked = (kind, values) => values.get(key(kind)) ?? (offered(kind).length === 1 ? "0" : undefined);

// typed says whether the sizes of a part are to be typed.
export const typed = (kind) => () => offered(kind).length === 0 || picked(kind, memory.values) === other;

// fill writes what was picked where it would have been typed.
function fill(kind, at) {
  const one = offered(kind)[picked(kind, memory.values)];
  if (!one) return;
  for (const place of [...memory.values.keys()]) if (place.startsWith(`${at}.`)) memory.values.delete(place);
  for (const [place, text] of leaves(at, inUnits(one.part))) memory.values.set(place, text);
}

// unpick lets the sizes of a part be typed again, as they stand.
export const unpick = (kind) => Object.hasOwn(kinds, kind) && memory.values.set(key(kind), other);

// pick is a field that asks which of the shop's is taken.
export function pick(kind) {
  const at = `setup.${kind}`;
  const read = (values) => {
    const one = offered(kind)[picked(kind, values)];
    return one ? inUnits(one.part) : undefined;
  };
  const card = (name, value, picture) => h("label", {},
    h("input", { type: "radio", name: key(kind), value, checked: picked(kind, memory.values) === value,
      onchange: () => {
        memory.values.set(key(kind), value);
        if (value !== other) fill(kind, at);
      } }),
    h("span", {}, picture, h("strong", {}, name)));
  const draw = () => {
    if (picked(kind, memory.values) !== other) fill(kind, at);
    return h("fieldset", { class: "choice picks-of", id: id(at), tabindex: "-1" },
      h("legend", {}, t(`pick.${kind}`)),
      h("div", { class: "options" },
        offered(kind).map((one, i) => card(one.name, String(i), one.picture())),
        card(t("pick.other"), other, null)));
  };
  return { at, when: () => offered(kind).length > 0, draw, read };
}

// cutters are all that the shop has, for those who ask which to take.
export const cutters = () => shop.cutters.map(({ cutter }) => inUnits(cutter));
