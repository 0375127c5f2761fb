import { h } from "./dom.js";
import { t } from "./texts.js";

// How long the page waits for whoever stands before it, and how long it then
// asks; `?idle=300` in its address waits longer, for those who need it.
const own = Number(new URLSearchParams(location.search).get("idle"));
const patience = own > 0 ? own : 120; // s
const grace = Math.min(30, patience); // s

// watch calls over when the page was left alone. It asks first.
export function watch(over) {
  let left = patience;
  let asking = null;
  const here = () => {
    left = patience;
    asking?.close();
  };
  // A question that is closed while a finger is still down would let the rest
  // of the touch fall on what lies behind it: it takes a whole click, or a key.
  const moves = () => asking || here();
  for (const event of ["pointerdown", "pointermove", "input", "scroll", "touchmove"]) {
    window.addEventListener(event, moves, { capture: true, passive: true });
  }
  for (const event of ["click", "keydown"]) window.addEventListener(event, here, { capture: true });
  setInterval(() => {
    left--;
    if (left <= -grace) {
      here();
      over();
    } else if (left <= 0) {
      asking ??= question(() => (asking = null));
      asking.querySelector("span").textContent = t("idle.left", { seconds: left + grace });
    }
  }, 1000);
}

// question asks whether anybody is there; its text counts down.
const question = (closed) => asked(closed, "idle.heading", h("span", {}, ""), (dialog) => [
  h("button", { type: "button", class: "main", onclick: () => dialog.close() }, t("idle.here"))]);

// sure asks once, before what was typed is thrown away.
export const sure = (over) => asked(() => {}, "over.heading", t("over.what"), (dialog) => [
  h("button", { type: "button", class: "main", onclick: () => {
    dialog.close();
    over();
  } }, t("over.yes")),
  h("button", { type: "button", class: "quiet", onclick: () => dialog.close() }, t("over.no"))]);

function asked(closed, heading, text, buttons) {
  const dialog = h("dialog", { class: "idle", "aria-labelledby": "idle-heading" },
    h("h2", { id: "idle-heading" }, t(heading)),
    h("p", {}, text));
  dialog.append(h("div", { class: "ends" }, buttons(dialog)));
  dialog.addEventListener("close", () => {
    dialog.remove();
    closed();
  });
  document.body.append(dialog);
  dialog.showModal();
  return dialog;
}
