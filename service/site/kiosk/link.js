import { ask } from "./ask.js";
import { h } from "./dom.js";
import { doors, fieldsOf } from "./forms.js";
import { asTyped } from "./lengths.js";
import { memory } from "./memory.js";
import { unpick } from "./shop.js";
import { t } from "./texts.js";
import { again, words } from "./trouble.js";

// A set-up in an address, behind its #: no server sees it. It opens this page
// filled in, on a phone or any other day.

const own = "setup.";
const longest = 100; // characters of a value
const mostLong = 1500; // of the whole address, as the service takes it

// places are what may stand in such an address: the set-up's fields.
const places = () => new Set(Object.keys(doors).flatMap((door) => fieldsOf(door)).map(({ at }) => at).filter((at) => at.startsWith(own)));

// home is where the page is found from elsewhere; empty where only this machine
// can reach it.
function home() {
  const told = document.documentElement.dataset.public;
  if (told) return told;
  const here = /^(localhost|127\.|\[::1\])/.test(location.hostname);
  return here ? "" : location.origin + location.pathname;
}

// linkTo is the address of a door with a set-up, as it stands in a request; empty
// where there is none that a phone could open.
export function linkTo(door, setup, job = "", from = home()) {
  if (from === "") return "";
  const told = new URLSearchParams({ units: memory.units });
  const known = places();
  const walk = (at, value) => {
    if (value && typeof value === "object" && "mm" in value) value = asTyped(value);
    if (value && typeof value === "object") return Object.entries(value).forEach(([name, one]) => walk(`${at}.${name}`, one));
    if (known.has(at) && value !== undefined && value !== null && value !== "") told.set(at.slice(own.length), String(value));
  };
  walk("setup", setup);
  if (job) told.set("job", job);
  const link = `${from}#${door}?${told}`;
  return link.length <= mostLong && /^[!-~]+$/.test(link) ? link : "";
}

// opened fills the page from such an address, if it is one, and takes the set-up
// out of it.
export function opened() {
  const [, door, query] = location.hash.match(/^#(\w+)\?(.*)$/) ?? [];
  if (query === undefined || !Object.hasOwn(doors, door)) return false;
  const told = new URLSearchParams(query);
  if (["in", "mm"].includes(told.get("units"))) memory.units = told.get("units");
  const known = places();
  for (const [name, value] of told) {
    if (!known.has(own + name) || value.length > longest) continue;
    memory.values.set(own + name, value);
    unpick(name.split(".")[0]); // these sizes, and not one of the shop's
  }
  if (told.get("job")) memory.values.set("job", told.get("job").slice(0, longest));
  history.replaceState(null, "", `#${door}`);
  return true;
}

// takeAlong offers the set-up as a QR code, drawn when it is wanted.
export function takeAlong(link) {
  const address = link();
  if (address === "") return null;
  const code = h("div", { class: "code" });
  const fill = async () => {
    try {
      const svg = await ask("v1/qr-codes", { link: link() }, "image/svg+xml");
      const drawn = document.importNode(new DOMParser().parseFromString(await svg.text(), "image/svg+xml").documentElement, true);
      drawn.setAttribute("role", "img");
      drawn.setAttribute("aria-label", t("along.code"));
      drawn.removeAttribute("aria-labelledby");
      code.replaceChildren(drawn, h("p", { class: "help" }, t("along.how")));
    } catch (reason) {
      if (reason.kind) code.replaceChildren(...[words(reason), again(reason, fill)].flat().filter(Boolean));
    }
  };
  return h("details", { class: "card along", ontoggle: (e) => e.target.open && fill() }, h("summary", {}, t("along.heading")), code);
}
