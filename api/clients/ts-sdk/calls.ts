// One call of every operation through functions that @hey-api/openapi-ts
// generates from the contract, one for each operation. `.ci/clients` generates
// sdk/, compiles this strictly and runs it against the service.
import { client } from "./sdk/client.gen.js";
import * as sdk from "./sdk/index.js";
import type { Problem, Setup, Template } from "./sdk/index.js";

const base = process.argv[2];
if (!base) throw new Error("usage: node calls.js http://host:port");
client.setConfig({ baseUrl: base });

const template: Template = { kind: "one_piece", pitch: "7/8 in", opening: { mm: 12.3 } };
const bushing = { diameter: 11.1125 };
const cutter = { diameter: "1/2 in", angle: 14 };
const setup: Setup = { template, bushing, cutter, depth: "10.5 mm", pin_board: { thickness: 18.6, width: "6 1/8 in" } };

let calls = 0;

type Called<A> = { data?: A; error?: unknown; response?: Response };

// answered throws what the service says is wrong, and hands on the answer.
async function answered<A>(call: Promise<Called<A>>): Promise<Exclude<A, string | undefined>> {
  const { data, error, response } = await call;
  if (data === undefined || typeof data === "string") throw new Error(`${response?.url}: ${response?.status} ${JSON.stringify(error)}`);
  calls++;
  return data as Exclude<A, string | undefined>;
}

// sent is answered for what is no JSON.
async function sent(call: Promise<Called<unknown>>, begins: RegExp): Promise<void> {
  const { data, error, response } = await call;
  const text = data instanceof Blob ? await data.text() : data;
  if (typeof text !== "string" || !begins.test(text)) throw new Error(`${response?.url}: ${response?.status} ${JSON.stringify(error)}`);
  calls++;
}

const prediction = await answered(sdk.predictFit({ body: { setup } }));
const correction = await answered(
  sdk.correctSetup({ body: { setup, test_cuts: [{ depth: 10.5, feel: "slides_free", pulled_gap: prediction.fit.pulled_gap ?? 0 }] } }),
);
const again = await answered(
  sdk.predictFit({ body: { setup: { record: correction.record, bushing, cutter, depth: correction.next_depth ?? 0 } } }),
);
if (again.fit.band !== "hand_fit") throw new Error(`a record posted back: ${again.fit.band}`);
await answered(sdk.recommendCutters({ body: { setup: { template, bushing } } }));
await answered(sdk.diagnoseJoint({ body: { setup: { template, bushing }, test_cuts: [{ feel: "will_not_start" }] } }));
await sent(sdk.drawJoint({ body: { setup }, parseAs: "text" }), /^<svg/);
await sent(sdk.makeSetupSheet({ body: { setup }, parseAs: "blob" }), /^%PDF/);
await answered(sdk.layOut({ body: { setup, board_width: { mm: 177.8 } } }));
const parts = {
  setup: { template, bushing, cutter },
  stock: [{ id: "fronts", thickness: 18.6 }, { id: "sides", thickness: "12.2 mm" }],
  drawers: [{ id: "spare", outside: { width: 914, height: 66.675, depth: "650 mm" }, front: "fronts", sides: "sides", back: "fronts" }],
};
const planned = await answered(sdk.planDrawerParts({ body: parts }));
for (const { ready_setup } of planned.setups) await answered(sdk.layOut({ body: { setup: ready_setup, board_width: 150 } }));
await sent(sdk.planDrawerParts({ body: parts, headers: { Accept: "text/csv" }, parseAs: "text" }), /^[a-z_]+,/);
await answered(
  sdk.moveWood({
    body: {
      setup,
      pin_board: { species: "white_oak", width: 155.575, moisture: 11 },
      tail_board: { species: "yellow_poplar", width: 155.575, moisture: 11 },
    },
  }),
);
const batch = await answered(sdk.runBatch({ body: { items: [{ id: "a", operation: "fit-predictions", body: { setup } }] } }));
if (batch.items[0]?.status !== 200) throw new Error(`batches: ${JSON.stringify(batch)}`);
await answered(sdk.listCutters());
await answered(sdk.listBushings());
await answered(sdk.listSpecies());
await answered(sdk.showSpecies({ path: { id: "white_oak" } }));
await answered(sdk.listOperations());
await answered(sdk.getRequestSchema({ path: { operation: "layouts" } }));

// Only what is asked for.
const short = await answered(sdk.predictFit({ query: { fields: ["/fit/play/mm", "/fit/in_target"] }, body: { setup } }));
if (short.fit.play.mm !== prediction.fit.play.mm || "summary" in short) throw new Error(`a part: ${JSON.stringify(short)}`);

// A refusal is typed too.
const refused = await sdk.predictFit({ body: { setup: { ...setup, depth: "18.6 mm" } } });
const problem: Problem | undefined = refused.error;
if (refused.response?.status !== 422 || !problem?.errors?.length) throw new Error("no refusal with its fields");

console.log(`TypeScript functions: ${calls} calls answered, 1 refused as it should be`);
