import { choice, length, noticed, number, signed, yesNo } from "./fields.js";
import * as stock from "./stock.js";

const kind = "setup.template.kind";
const kinds = ["one_piece", "two_position", "proven"];
const isOf = (code) => (values) => (values.get(kind) ?? "one_piece") === code;

// A template's fields, by its kind.
const template = [
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
];

const bushing = [length("setup.bushing.diameter", { picks: stock.bushings })];

const cutter = [
  length("setup.cutter.diameter", { picks: stock.cutters }),
  number("setup.cutter.angle", { picks: stock.angles }),
  choice("setup.cutter.condition", ["new", "used", "resharpened", "unknown"], { fallback: "unknown" }),
];

const depth = [length("setup.depth")];
const boards = [length("setup.pin_board.thickness"), length("setup.tail_board.thickness")];

// What only some know; with it the router's settings and the seat can be told.
const further = [
  length("setup.template.thickness"),
  length("setup.bushing.barrel"),
  length("setup.template.opening_reach", { when: isOf("one_piece") }),
  length("setup.template.finger_reach", { when: isOf("one_piece") }),
  length("setup.router.adjuster_lead"),
];

const mine = (values) => values.get("cutters") === "mine";
const rows = [0, 1, 2, 3];
const filled = (values, row) => row < 0 || (filled(values, row - 1) && Boolean(values.get(`cutters.${row}.diameter`)));

// Cutters at hand: one more may be told as soon as the one before it is.
const atHand = [
  { ...choice("cutters", ["any", "mine"], { fallback: "any" }), read: () => undefined },
  ...rows.flatMap((row) => [
    length(`cutters.${row}.diameter`, { when: (values) => mine(values) && filled(values, row - 1), picks: stock.cutters }),
    number(`cutters.${row}.angle`, { when: (values) => mine(values) && filled(values, row - 1) && (row === 0 || filled(values, row)), picks: stock.angles }),
  ]),
];

const cut = "test_cuts.0";

const feels = ["rattles", "slides_free", "hand_pressure", "light_taps", "hard_blows", "sticks_part_way", "will_not_start", "closes_one_end"];

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

export const fieldsOf = (door) => doors[door].sections.flatMap((section) => section.fields);

// How sure a size is that was measured with a caliper (judgement), which also
// tells the service that it was measured.
const caliper = { mm: 0.03, in: 0.001 };

// What each check of the call at the counter asks for.
export const checks = {
  measure_bushing: [length("setup.bushing.diameter", { sure: caliper }), yesNo("findings.bushing_wobbles")],
  measure_cutter: [length("setup.cutter.diameter", { sure: caliper }), yesNo("findings.cutter_dull")],
  measure_cutter_angle: [number("setup.cutter.angle")],
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
  scrap_slot: [length("setup.cutter.diameter", { sure: caliper }), number("setup.cutter.angle")],
  moisture_meter: [number("setup.pin_board.moisture"), number("setup.tail_board.moisture")],
};
