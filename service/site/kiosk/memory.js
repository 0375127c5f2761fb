// What the page remembers of a customer, all of it, and only until it is left
// alone or started over: nothing is kept in the browser or in addresses.
const ownUnits = /-US$/.test(navigator.language) ? "in" : "mm";

export const memory = {};

export function forget() {
  memory.units = ownUnits;
  memory.values = new Map(); // what was typed or chosen, by its place in a request
  memory.answers = new Map(); // what the service answered, by door
  memory.made = []; // checks that were made, of the call at the counter
  memory.answered = []; // those of them that are not asked for again
  memory.found = new Map(); // what they showed, by check
  memory.unavailable = []; // checks that can't be made here
  memory.cuts = []; // test joints before the last, as they were told
  memory.visit = (memory.visit ?? 0) + 1; // an answer to an earlier customer is thrown away
}

forget();

// put places a value in a request by its path: "test_cuts.0.feel".
function put(request, at, value) {
  const names = at.split(".");
  const last = names.pop();
  let place = request;
  names.forEach((name, i) => {
    const next = names[i + 1] ?? last;
    place[name] ??= /^\d+$/.test(next) ? [] : {};
    place = place[name];
  });
  place[last] = value;
}

// request makes a request of the values of some fields. Parts that a door
// needs are there even when nothing of them was filled in, so that the service
// names each field that is missing.
export function request(fields, parts = []) {
  const made = { units: memory.units };
  for (const part of parts) put(made, part, {});
  const asked = (list) => list.filter((f) => f.when(memory.values));
  for (const field of asked(asked(fields).flatMap((f) => [f, ...(f.beside ?? [])]))) {
    const value = field.read(memory.values);
    if (value !== undefined) put(made, field.at, value);
  }
  return made;
}
