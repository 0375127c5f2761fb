import { memory } from "./memory.js";

// Refused is what the service says is wrong with a request, field by field.
export class Refused extends Error {
  constructor(problem) {
    super(problem.detail);
    this.fields = (problem.errors ?? []).map((e) => ({ at: place(e.pointer), code: e.code, text: e.detail }));
  }
}

// Silent is a service that does not answer, or not now.
export class Silent extends Error {}

// Stale is an answer to someone who has left.
export class Stale extends Error {}

const patience = 10_000; // ms

// place turns a JSON pointer as problems have it into a path: "#/a/b" is "a.b".
const place = (pointer) => pointer.replace(/^#\/?/, "").replaceAll("/", ".");

// ask posts a question and returns the answer: JSON, or a Blob of another form.
export async function ask(path, body, accept = "application/json") {
  const headers = { "Content-Type": "application/json", Accept: accept };
  return answer(path, accept, { method: "POST", headers, body: JSON.stringify(body) });
}

// look gets a list.
export const look = (path) => answer(path, "application/json", {});

async function answer(path, accept, how) {
  const visit = memory.visit;
  let response, content;
  try {
    response = await fetch(path, { ...how, cache: "no-store", signal: AbortSignal.timeout(patience) });
    content = await response.blob();
  } catch (reason) {
    if (visit !== memory.visit) throw new Stale();
    throw new Silent(String(reason));
  }
  if (visit !== memory.visit) throw new Stale();
  if (response.status === 400 || response.status === 422) throw new Refused(JSON.parse(await content.text()));
  if (!response.ok) throw new Silent(String(response.status));
  return accept === "application/json" ? JSON.parse(await content.text()) : content;
}
