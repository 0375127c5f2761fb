// One call of every operation through a client generated from the contract:
// what a planner's own code would look like. `.ci/clients` generates
// schema.d.ts, compiles this strictly and runs it against the service.
import createClient from "openapi-fetch";
import type { components, paths } from "./schema.d.ts";

const base = process.argv[2];
if (!base) throw new Error("usage: node calls.js http://host:port");
const client = createClient<paths>({ baseUrl: base });

const mm = (length: number) => `${length} mm`;
// A length is a text, a number or an object.
const template: components["schemas"]["Template"] = { kind: "one_piece", pitch: "7/8 in", opening: 12.3 };
const bushing = { diameter: "7/16 in" };
const cutter = { diameter: { mm: 12.7 }, angle: 14 };
const setup = { template, bushing, cutter, depth: mm(10.5), pin_board: { thickness: mm(18.6), width: mm(155.575) } };

let calls = 0;

// answered throws what the service says is wrong, and hands on the answer as
// JSON, of the forms that it may come in.
async function answered<A>(
  what: string,
  call: Promise<{ data?: A; error?: unknown; response: Response }>,
): Promise<Exclude<A, string>> {
  const { data, error, response } = await call;
  if (data === undefined || typeof data === "string") throw new Error(`${what}: ${response.status} ${JSON.stringify(error)}`);
  calls++;
  return data as Exclude<A, string>;
}

// drawn is answered for what comes as a drawing or a page.
async function drawn(what: string, call: Promise<{ data?: unknown; error?: unknown; response: Response }>): Promise<void> {
  const { data, error, response } = await call;
  if (typeof data !== "string" || data === "") throw new Error(`${what}: ${response.status} ${JSON.stringify(error)}`);
  calls++;
}

const prediction = await answered("fit-predictions", client.POST("/v1/fit-predictions", { body: { setup } }));
const correction = await answered(
  "corrections",
  client.POST("/v1/corrections", {
    body: { setup, test_cuts: [{ depth: mm(10.5), feel: "slides_free", pulled_gap: prediction.fit.pulled_gap ?? 0 }] },
  }),
);
if (correction.verdict !== "too_loose") throw new Error(`corrections: ${correction.verdict}`);
const again = await answered(
  "fit-predictions with a record",
  client.POST("/v1/fit-predictions", { body: { setup: { record: correction.record, bushing, cutter, depth: correction.next_depth ?? 0 } } }),
);
if (again.fit.band !== "hand_fit") throw new Error(`a record posted back: ${again.fit.band}`);
await answered("cutter-recommendations", client.POST("/v1/cutter-recommendations", { body: { setup: { template, bushing } } }));
const diagnosis = await answered(
  "diagnoses",
  client.POST("/v1/diagnoses", { body: { setup: { template, bushing }, test_cuts: [{ feel: "will_not_start" }] } }),
);
if (!diagnosis.causes[0]?.probability) throw new Error("diagnoses: no cause");
await drawn("joint-drawings", client.POST("/v1/joint-drawings", { body: { setup }, parseAs: "text" }));
await drawn("qr-codes", client.POST("/v1/qr-codes", { body: { link: "https://joints.example.org/" }, parseAs: "text" }));
await drawn("setup-sheets", client.POST("/v1/setup-sheets", { body: { setup }, parseAs: "text" }));
await answered("layouts", client.POST("/v1/layouts", { body: { setup, board_width: mm(177.8) } }));
const parts = {
  setup: { template, bushing, cutter },
  stock: [{ id: "fronts", thickness: mm(18.6) }, { id: "sides", thickness: mm(12.2) }],
  drawers: [
    { id: "spare", outside: { width: mm(914), height: mm(66.675), depth: mm(650) }, front: "fronts", sides: "sides", back: "fronts" },
  ],
};
const planned = await answered("drawer-parts", client.POST("/v1/drawer-parts", { body: parts }));
for (const { ready_setup } of planned.setups) {
  await answered("a planned set-up", client.POST("/v1/fit-predictions", { body: { setup: ready_setup } }));
}
await answered(
  "wood-movements",
  client.POST("/v1/wood-movements", {
    body: {
      setup,
      pin_board: { species: "white_oak", width: mm(155.575), moisture: 11 },
      tail_board: { species: "yellow_poplar", width: mm(155.575), moisture: 11 },
    },
  }),
);
const batch = await answered(
  "batches",
  client.POST("/v1/batches", { body: { items: [{ id: "a", operation: "fit-predictions", body: { setup } }] } }),
);
if (batch.items[0]?.status !== 200) throw new Error(`batches: ${JSON.stringify(batch)}`);
await answered("cutters", client.GET("/v1/cutters"));
await answered("bushings", client.GET("/v1/bushings"));
await answered("shop", client.GET("/v1/shop"));
await answered("species", client.GET("/v1/species"));
await answered("one species", client.GET("/v1/species/{id}", { params: { path: { id: "white_oak" } } }));
await answered("operations", client.GET("/v1", {}));
await answered("JSON Schema", client.GET("/v1/schemas/{operation}.json", { params: { path: { operation: "layouts" } } }));

// Only what is asked for.
const short = await answered(
  "fit-predictions in part",
  client.POST("/v1/fit-predictions", { params: { query: { fields: ["/fit/play/mm", "/fit/in_target"] } }, body: { setup } }),
);
if (short.fit.play.mm !== prediction.fit.play.mm || "summary" in short) throw new Error(`a part: ${JSON.stringify(short)}`);

// A refusal is typed too.
const refused = await client.POST("/v1/fit-predictions", { body: { setup: { ...setup, depth: mm(18.6) } } });
if (refused.response.status !== 422 || typeof refused.error !== "object" || !refused.error.errors?.length) throw new Error("no refusal with its fields");

console.log(`TypeScript client: ${calls} calls answered, 1 refused as it should be`);
