// Every text of the page stands in the service's catalogues, under "page.", and
// comes with the page. What the service says of joints comes with its answers, in
// the language of the page.
const texts = JSON.parse(document.getElementById("texts").textContent);

// t looks a text up and puts values into its {places}.
export function t(key, values = {}) {
  const text = texts[key];
  if (text === undefined) throw new Error(`no text for ${key}`);
  return text.replace(/\{(\w+)\}/g, (_, name) => values[name]);
}

// language is the page's.
export const language = document.documentElement.lang;

// has says whether there is a text: helps are not given for every field.
export const has = (key) => texts[key] !== undefined;
