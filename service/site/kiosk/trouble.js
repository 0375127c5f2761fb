import { h } from "./dom.js";
import { t } from "./texts.js";

// What is said of an answer that did not come, and the way on.

const second = 1000; // ms

// words say in plain words why there is no answer.
export const words = ({ kind, number }) => [
  h("h2", {}, t(`trouble.${kind}`)),
  h("p", {}, t(`trouble.${kind}.what`)),
  number && h("p", { class: "help" }, t("trouble.number", { number })),
];

// again asks once more, as soon as that is wanted: till then it counts down.
export function again({ wait }, doing, says = t("trouble.again")) {
  let left = wait;
  const button = h("button", { type: "button", class: "main", onclick: () => left <= 0 && doing() });
  const show = () => {
    button.textContent = left > 0 ? t("trouble.wait", { seconds: left }) : says;
    button.toggleAttribute("disabled", left > 0);
  };
  show();
  if (left > 0) {
    const clock = setInterval(() => {
      left--;
      show();
      if (left <= 0 || !button.isConnected) clearInterval(clock);
    }, second);
  }
  return button;
}
