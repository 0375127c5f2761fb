import { choice, length, noticed, number, question, signed, yesNo } from "./fields.js";
import { inMM } from "./lengths.js";
import * as shop from "./shop.js";
import * as stock from "./stock.js";

const kind = "setup.template.kind";
const kinds = ["one_piece", "two_position", "proven"];
const isOf = (code) => (values) => (values.get(kind) ?? "one_piece") === code;

// of gives the fields of a part that may be picked in the shop: then its sizes
// are there, and are not asked for.
const of = (kind, fields) => [shop.pick(kind), ...fields.map((field) => ({ ...field, shown: shop.typed(kind) }))];

// A template's fields, by its kind.
const template = of("template", [
  choice(kind, kinds, { fallback: "one_piece" }),
  length("setup.template.pitch", { when: isOf("one_piece") }),
  length("setup.template.opening", { when: isOf("one_piece") }),
  length("setup.template.tail_pass.opening", { when: isOf("two_position") }),
  length("setup.template.tail_pass.finger", { when: isOf("two_position") }),
  length("setup.template.pin_pass.opening", { when: isOf("two_position") }),
  length("setup.template.pin_pass.finger", { when: isOf("two_position") }),
  length("setup.template.cutter.diameter", { when: isOf("proven"), picks: stock.cutters }),
  number("setup.template.cutter.angle", { when: isOf("proven"), picks: stock.angles }),
  length("setup.template.bushing.diameter", { when: isOf("proven"), picks: stock.bushings }),
  length("setup.template.depth", { when: isOf("proven") }),
  choice("setup.template.feel", ["slides_free", "hand_pressure", "light_taps", "hard_blows"], { when: isOf("proven"), fallback: "hand_pressure" }),
]);

const bushing = of("bushing", [length("setup.bushing.diameter", { picks: stock.bushings })]);

const cutter = of("cutter", [
  length("setup.cutter.diameter", { picks: stock.cutters }),
  number("setup.cutter.angle", { picks: stock.angles }),
  choice("setup.cutter.condition", ["new", "used", "resharpened", "unknown"], { fallback: "unknown" }),
]);

const depth = [length("setup.depth")];
const boards = ["pin_board", "tail_board"].flatMap((board) => of(board, [length(`setup.${board}.thickness`, { picks: stock.boards })]));

// What only some know; with it the router's settings and the seat can be told.
const further = [
  length("setup.template.thickness"),
  length("setup.bushing.barrel"),
  length("setup.template.opening_reach", { when: isOf("one_piece") }),
  length("setup.template.finger_reach", { when: isOf("one_piece") }),
  length("setup.router.adjuster_lead"),
];

const ours = () => shop.cutters().length > 0;
const mine = (values) => values.get("cutters") === "mine";
const fromShop = (values) => ours() && (values.get("cutters") ?? "shop") === "shop";
const rows = [0, 1, 2, 3];
const filled = (values, row) => row < 0 || (filled(values, row - 1) && Boolean(values.get(`cutters.${row}.diameter`)));

// Cutters at hand: one more may be told as soon as the one before it is.
const atHand = [
  { ...choice("cutters", ["any", "mine"], { fallback: "any" }), when: () => !ours(), read: () => undefined },
  { ...choice("cutters", ["shop", "any", "mine"], { fallback: "shop" }), when: ours, read: (values) => (fromShop(values) ? shop.cutters() : undefined) },
  ...rows.flatMap((row) => [
    length(`cutters.${row}.diameter`, { when: (values) => mine(values) && filled(values, row - 1), picks: stock.cutters }),
    number(`cutters.${row}.angle`, { when: (values) => mine(values) && filled(values, row - 1) && (row === 0 || filled(values, row)), picks: stock.angles }),
  ]),
];

const cut = "test_cuts.0";

export const feels = ["rattles", "slides_free", "hand_pressure", "light_taps", "hard_blows", "sticks_part_way", "will_not_start", "closes_one_end"];

const looked = [
  length(`${cut}.pulled_gap`),
  length(`${cut}.went_in`),
  length(`${cut}.shoulder_gap`),
  signed(`${cut}.seat`, ["inside", "proud"]),
];

const told = ["cutter_changed", "cut_weeks_ago", "router_turned", "second_pass", "tear_out", "chipped_pin", "tight_at_one_end", "edges_half_pitch_off", "edges_mirrored"];

// set is how the router is set up.
const set = [
  { key: "template", fields: template },
  { key: "bushing", fields: bushing },
  { key: "cutter", fields: cutter },
  { key: "depth", fields: depth },
  { key: "boards", fields: boards },
  { key: "further", fields: further, folded: true },
];

// The doors: what each asks for, and which parts of a request it needs. A
// section that is folded need not be looked at.
export const doors = {
  which: {
    sections: [
      { key: "template", fields: template },
      { key: "bushing", fields: bushing },
      { key: "boards", fields: boards },
      { key: "cutters", fields: atHand },
      { key: "further", fields: further, folded: true },
    ],
    parts: (values) => ["setup.template", "setup.bushing", ...(mine(values) ? ["cutters.0"] : [])],
  },
  fit: {
    sections: set,
    parts: () => ["setup.template", "setup.bushing", "setup.cutter"],
  },
  wrong: {
    sections: [
      { key: "feel", fields: [choice(`${cut}.feel`, feels, { large: true })] },
      { key: "looked", fields: looked, folded: true },
      { key: "told", fields: told.map((name) => noticed(`findings.${name}`)), folded: true },
      ...set,
    ],
    parts: () => ["test_cuts.0"],
  },
};

// What a door can't do without, and what it is well to know beside.
const sizes = ["pitch", "opening", "tail_pass.opening", "tail_pass.finger", "pin_pass.opening", "pin_pass.finger", "cutter.diameter", "cutter.angle", "bushing.diameter", "depth"].map((size) => `setup.template.${size}`);
const needed = {
  which: [...sizes, "setup.bushing.diameter", "cutters.0.diameter", "cutters.0.angle"],
  fit: [...sizes, "setup.bushing.diameter", "setup.cutter.diameter", "setup.cutter.angle", "setup.depth"],
  wrong: [`${cut}.feel`],
};
export const wantedOf = (door) => [needed[door], door === "wrong" ? needed.fit : ["setup.pin_board.thickness"]];

export const fieldsOf = (door) => doors[door].sections.flatMap((section) => section.fields);

// How sure sizes are that a check measures (judgement), which also tells the
// service that they were measured: by caliper on steel, on a slot's walls and
// on a board; by bevel gauge and by a slot's walls, in degrees.
const caliper = { mm: 0.03, in: 0.001 };
const slot = { mm: 0.06, in: 0.0024 };
const board = { mm: 0.1, in: 0.004 };
const bevel = 0.6;
const walls = 0.7;

// A size that a check measures is remembered beside the one that was stated.
const reading = (at) => `read.${at}`;
const measured = (at, sure, { beside = [], ...more } = {}) => length(at, { key: reading(at), sure, beside, ...more });

// labelled keeps what was stated of a part's diameter once it was measured:
// that a size is not what its label says names the fault.
const labelled = (part) => {
  const at = `setup.${part}.diameter`;
  return { at: `setup.${part}.labelled`, when: (values) => Boolean(values.get(reading(at))), read: (values) => values.get(at) || undefined };
};

const theBushing = measured("setup.bushing.diameter", caliper, { beside: [labelled("bushing")] });
const theCutter = (sure) => measured("setup.cutter.diameter", sure, { beside: [labelled("cutter")] });

const theAngle = (sure) => {
  const at = "setup.cutter.angle";
  const tolerance = { at: "setup.cutter.angle_tolerance", when: (values) => Boolean(values.get(reading(at))), read: () => sure };
  return number(at, { key: reading(at), beside: [tolerance] });
};

// thePass is the opening of one pass of a template that cuts the boards one
// after the other. What an opening is wider its finger is narrower: they make
// one pitch.
const thePass = (pass) => {
  const [opening, finger] = ["opening", "finger"].map((of) => `setup.template.${pass}.${of}`);
  const narrower = (values) => inMM(values.get(opening) ?? "") + inMM(values.get(finger) ?? "") - inMM(values.get(reading(opening)) ?? "");
  const rest = { at: finger, when: (values) => narrower(values) > 0, read: (values) => `${narrower(values).toFixed(4)} mm` };
  return measured(opening, caliper, { when: isOf("two_position"), beside: [rest] });
};

// An end of the joint: its place goes with what is said of either. Without the
// boards' width the service takes places to span it, wherever they lie.
const ends = ["0 mm", "100 mm"];
const endFields = (i) => [`feel`, `measured.depth_pin_board`, `shoulder_gap`].map((of) => `${cut}.along.${i}.${of}`);
const eitherEnd = (values) => ends.some((_, i) => endFields(i).some((at) => values.get(at)));
const theEnd = (i) => {
  const [feel, deep, shoulder] = endFields(i);
  const place = { at: `${cut}.along.${i}.position`, when: eitherEnd, read: () => ends[i] };
  return [choice(feel, feels.slice(0, -1), { beside: [place] }), length(deep, { beside: [place] }), length(shoulder, { beside: [place] })];
};

// What each check of the call at the counter asks for.
export const checks = {
  measure_bushing: [theBushing, yesNo("findings.bushing_wobbles")],
  measure_cutter: [theCutter(caliper), yesNo("findings.cutter_dull")],
  measure_cutter_angle: [theAngle(bevel)],
  measure_depth: [length(`${cut}.measured.depth_pin_board`), length(`${cut}.measured.depth_tail_board`), yesNo("findings.depth_moved")],
  measure_widths: [
    length(`${cut}.measured.pin_widest`), length(`${cut}.measured.tail_widest`),
    length(`${cut}.measured.pin_socket_widest`), length(`${cut}.measured.tail_socket_widest`), yesNo("findings.one_pin_off"),
  ],
  pull_joint: [length(`${cut}.pulled_gap`), length(`${cut}.shoulder_gap`)],
  see_seat: [signed(`${cut}.seat`, ["inside", "proud"])],
  see_edges: [length(`${cut}.edge_step`), yesNo("findings.edges_half_pitch_off"), yesNo("findings.edges_mirrored"), yesNo("findings.corner_not_square")],
  straightedge: [yesNo("findings.boards_cupped")],
  rock_template: [yesNo("findings.template_rocks"), yesNo("findings.chips_found")],
  scrap_slot: [theCutter(slot), theAngle(walls)],
  moisture_meter: [number("setup.pin_board.moisture"), number("setup.tail_board.moisture")],
  look_both_ends: [...theEnd(0), ...theEnd(1)],
  measure_boards: [measured("setup.pin_board.thickness", board), measured("setup.tail_board.thickness", board)],
  measure_template: [measured("setup.template.opening", caliper, { when: isOf("one_piece") }), thePass("tail_pass"), thePass("pin_pass")],
  ask_cutter_changed: [question("findings.cutter_changed")],
  ask_one_setting: [question("findings.one_setting")],
  ask_cut_weeks_ago: [question("findings.cut_weeks_ago")],
  ask_router_turned: [question("findings.router_turned")],
  ask_second_pass: [question("findings.second_pass")],
  ask_tear_out: [question("findings.tear_out")],
};
