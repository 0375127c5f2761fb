import { memory } from "./memory.js";
import { language } from "./texts.js";

// Refused is what the service says is wrong with a request, field by field.
export class Refused extends Error {
  constructor(problem) {
    super(problem.detail);
    this.fields = (problem.errors ?? []).map((e) => ({ at: place(e.pointer), code: e.code, text: e.detail }));
  }
}

// Trouble is why there is no answer. Its kind has its own words (trouble.<kind>):
//
//	gone      no network, or nobody there
//	slow      nobody answered in time
//	proxy     something answered that is not the service
//	key       who asks may not
//	large     too much was told
//	busy      too many ask, or too often; `wait` s are asked for
//	down      the service can't answer now; `wait` likewise
//	failed    the service failed; operators find it by its `number`
export class Trouble extends Error {
  constructor(kind, { wait = 0, number = "" } = {}) {
    super(kind);
    Object.assign(this, { kind, wait, number });
  }
}

// Stale is an answer to someone who has left, or who went back.
export class Stale extends Error {}

const patience = 10_000; // ms
const longestWait = 600; // s that are believed of Retry-After

const kinds = { 401: "key", 403: "key", 407: "proxy", 408: "slow", 413: "large", 429: "busy", 503: "down", 504: "slow" };

let leaving = new AbortController();

// leave gives up all that is being waited for.
export function leave() {
  leaving.abort();
  leaving = new AbortController();
}

// place turns a JSON pointer as problems have it into a path: "#/a/b" is "a.b".
const place = (pointer) => pointer.replace(/^#\/?/, "").replaceAll("/", ".");

// ask posts a question and returns the answer: JSON, or a Blob of another form.
export async function ask(path, body, accept = "application/json") {
  const headers = { "Content-Type": "application/json" };
  return answer(path, accept, { method: "POST", headers, body: JSON.stringify(body) });
}

// look gets a list; it is of use wherever who asked has gone.
export const look = (path) => looked(path, "application/json");
export const looked = (path, accept) => answer(path, accept, {}, new AbortController());

async function answer(path, accept, how, { signal } = leaving) {
  const { visit } = memory;
  let response, content;
  try {
    const headers = { ...how.headers, Accept: accept, "Accept-Language": language };
    response = await fetch(path, { ...how, headers, cache: "no-store", signal: AbortSignal.any([signal, AbortSignal.timeout(patience)]) });
    content = await response.blob();
  } catch (reason) {
    if (visit !== memory.visit || signal.aborted) throw new Stale();
    throw new Trouble(reason.name === "TimeoutError" ? "slow" : "gone");
  }
  if (visit !== memory.visit || signal.aborted) throw new Stale();
  return read(response, content, accept);
}

async function read(response, content, accept) {
  const media = (response.headers.get("Content-Type") ?? "").split(";")[0].trim();
  if (response.ok) {
    if (media !== accept) throw new Trouble("proxy");
    return accept === "application/json" ? parsed(content) : content;
  }
  const told = media === "application/problem+json" ? await parsed(content) : null;
  if (told && (response.status === 400 || response.status === 422)) throw new Refused(told);
  const wait = waited(response.headers.get("Retry-After"));
  const kind = kinds[response.status] ?? (told ? "failed" : "proxy");
  throw new Trouble(kind, { wait, number: told?.request_id ?? "" });
}

async function parsed(content) {
  try {
    return JSON.parse(await content.text());
  } catch {
    throw new Trouble("proxy");
  }
}

// waited reads Retry-After, seconds or a date, as seconds from now.
function waited(text) {
  if (!text) return 0;
  const seconds = /^\d+$/.test(text) ? Number(text) : (Date.parse(text) - Date.now()) / 1000;
  return Number.isFinite(seconds) ? Math.min(longestWait, Math.max(0, Math.ceil(seconds))) : 0;
}
