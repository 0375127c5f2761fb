// Everything is loaded from where the page came from; paths are relative, so
// that the page also works behind a proxy that adds a prefix.
window.ui = SwaggerUIBundle({
  url: "openapi.json",
  dom_id: "#contract",
  deepLinking: true,
  tryItOutEnabled: true,
  displayRequestDuration: true,
  defaultModelsExpandDepth: 0,
  validatorUrl: null,
});

// What the viewer leaves out for those who use no mouse or no eyes is put right
// whenever it has drawn something: a link within a button can't be told from it,
// fields have no names, and what scrolls can't be reached by keyboard.
const names = { servers: "Server", textarea: "Body of the request", select: "Choice", input: "Value" };

function named(field) {
  const labelled = [...(field.labels ?? [])].some((label) => [...label.childNodes].some((node) => node !== field && node.textContent.trim() !== ""));
  if (labelled || field.ariaLabel || field.getAttribute("aria-labelledby")) return;
  const row = field.closest("tr")?.querySelector(".parameter__name");
  field.setAttribute("aria-label", row?.textContent || field.closest(".examples-select, .response-controls, .body-param-content-type, label")?.textContent?.slice(0, 60) || names[field.id] || names[field.localName]);
}

function reachable() {
  const page = document.getElementById("contract");
  page.querySelectorAll("button a[href]").forEach((link) => link.removeAttribute("href"));
  page.querySelectorAll("textarea, select, input").forEach(named);
  page.querySelectorAll(".copy-to-clipboard button").forEach((button) => button.setAttribute("aria-label", "Copy"));
  page.querySelectorAll("pre, .highlight-code > div").forEach((part) => (part.tabIndex = part.scrollWidth > part.clientWidth || part.scrollHeight > part.clientHeight ? 0 : -1));
  page.querySelectorAll("pre[tabindex='-1'], .highlight-code > div[tabindex='-1']").forEach((part) => part.removeAttribute("tabindex"));
}

let due = 0;
new MutationObserver(() => {
  cancelAnimationFrame(due);
  due = requestAnimationFrame(reachable);
}).observe(document.getElementById("contract"), { childList: true, subtree: true });
