// Walks through the kiosk page in a real browser as customers would: each door
// from first touch to printed sheet, in inches and millimetres, on a kiosk's
// screen and on a phone. `.ci/kiosk` starts the service and runs this:
//
//   node kiosk.mjs http://host:port [directory for screenshots [walk]]
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { chromium } from "playwright-core";

const [base, kept, only] = process.argv.slice(2); // only one walk, by its name
assert(base, "usage: node kiosk.mjs http://host:port [directory for screenshots]");
if (kept) mkdirSync(kept, { recursive: true });
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

const screens = {
  kiosk: { viewport: { width: 1080, height: 1920 }, hasTouch: true },
  phone: { viewport: { width: 320, height: 640 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 },
};

// What is typed on the keypad, key by key: digits, and in inches fractions.
const sizes = {
  in: { pitch: ["7/8"], opening: ["31/64"], bushing: ["7/16"], cutter: ["1/2"], front: ["3/4"], deep: ["7/16"], gap: ["1/32"], narrow: ["3/8"], inside: ["1/16"] },
  mm: { pitch: [..."22.2"], opening: [..."12.3"], bushing: [..."11.1"], cutter: [..."12.7"], front: [..."19"], deep: [..."11"], gap: [..."0.8"], narrow: [..."9.5"], inside: [..."1.5"] },
};

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? execFileSync("which", ["chromium"], { encoding: "utf8" }).trim(), args: ["--no-sandbox"] });
let looked = 0; // views that axe looked at
let visits = 0;

// visit is a customer: a page, and all that went wrong on it.
async function visit(screen, { path = "/", locale = "en-GB", reduced = false } = {}) {
  visits++;
  const context = await browser.newContext({ ...screens[screen], locale, reducedMotion: reduced ? "reduce" : "no-preference", acceptDownloads: true });
  const page = await context.newPage();
  const complaints = [];
  // A refusal is an answer, but the browser itself writes it to its console.
  page.on("console", (m) => m.type() !== "log" && !/status of 4(00|22) /.test(m.text()) && complaints.push(m.text()));
  page.on("pageerror", (e) => complaints.push(String(e)));
  page.on("request", (r) => r.url().startsWith(base) || /^(data|blob):/.test(r.url()) || complaints.push(`asked ${r.url()}`));
  await page.addInitScript(() => {
    window.printed = 0;
    window.taps = 0;
    window.addEventListener("pointerdown", () => window.taps++, true);
    window.print = () => window.printed++;
  });
  await page.goto(base + path);
  return { screen, context, page, complaints };
}

async function leave({ context, complaints }) {
  assert.deepEqual(complaints, [], "the browser's console");
  await context.close();
}

// reach has axe look at what is on the page.
async function reach(page, where) {
  await page.evaluate(axe);
  const found = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
  assert.deepEqual(found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html).join("\n")}`), [], `axe, ${where}`);
  looked++;
}

// A view is the same whatever unit it is in: each is looked at once on a screen,
// and once in the dark and in colours of the reader's own.
const colours = { dark: { colorScheme: "dark" }, forced: { colorScheme: "dark", forcedColors: "active" } };
const inColours = new Set();
const onScreens = new Set();

// look has axe look at what is on the page, in all colours, and keeps pictures of it.
async function look({ page, screen }, name) {
  const view = name.replace(/-(in|mm)-/, "-");
  if (!onScreens.has(`${screen} ${view}`)) await reach(page, `${screen}, ${name}`);
  onScreens.add(`${screen} ${view}`);
  if (!inColours.has(view) && !/^check-|^trouble-[2-7]|^idle|^waiting/.test(name)) { // of one kind one is enough; two don't wait
    inColours.add(view);
    for (const [colour, media] of Object.entries(colours)) {
      await page.emulateMedia(media);
      await reach(page, `${screen}, ${name}, ${colour}`);
      if (colour === "forced") await seenInForced(page, `${screen}, ${name}`);
      if (kept) await page.screenshot({ path: join(kept, `${screen}-${name}-${colour}.png`), fullPage: true });
    }
    await page.emulateMedia({ colorScheme: null, forcedColors: null });
  }
  const over = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  assert(over <= 0, `${name} is ${over} px too wide for a ${screen}`);
  await bigTargets(page, `${screen}, ${name}`);
  if (kept) await page.screenshot({ path: join(kept, `${screen}-${name}.png`), fullPage: true });
}

// seenInForced holds that what is drawn is seen where the reader's own colours
// are: lines on a white ground, or in the colour of text.
async function seenInForced(page, where) {
  const unseen = await page.evaluate(() => {
    const text = getComputedStyle(document.body).color;
    const ground = (e) => {
      for (; e; e = e.parentElement) {
        const c = getComputedStyle(e).backgroundColor;
        if (!/, 0\)$|transparent/.test(c)) return c;
      }
      return "rgb(0, 0, 0)";
    };
    return [...document.querySelectorAll("main svg, dialog svg")].filter((svg) => svg.checkVisibility()).flatMap((svg) => {
      const line = [...svg.querySelectorAll("path")].map((p) => getComputedStyle(p).stroke).find((s) => s !== "none");
      return line === undefined || line !== ground(svg) ? [] : [`${svg.outerHTML.slice(0, 60)}: ${line} on ${ground(svg)}, text ${text}`];
    });
  });
  assert.deepEqual(unseen, [], `drawings in forced colours, ${where}`);
}

// bigTargets holds that all that can be touched can be hit: 44 px at least.
async function bigTargets(page, where) {
  const small = await page.evaluate(() => [...document.querySelectorAll("button, a[href], summary, label:has(input), input[type=text]")]
    .filter((e) => e.checkVisibility() && !e.closest("p, .trouble li"))
    .map((e) => [e.outerHTML.slice(0, 90), e.getBoundingClientRect()])
    .filter(([, r]) => r.height < 44 || r.width < 30).map(([html, r]) => `${html} is ${r.width} x ${r.height}`));
  assert.deepEqual(small, [], `touch targets, ${where}`);
}

// write touches a line and types on the keypad with fingers.
async function write(page, label, keys) {
  await page.getByLabel(label, { exact: true }).first().tap();
  const pad = page.locator("dialog.keypad");
  await pad.waitFor();
  for (const key of keys) {
    if (/\/(32|64)$/.test(key)) await pad.getByRole("button", { name: key.endsWith("32") ? "1/32 in" : "1/64 in", exact: true }).tap();
    await pad.getByRole("button", { name: key === "." ? "decimal point" : key, exact: true }).tap();
  }
  await pad.getByRole("button", { name: "Done" }).tap();
  await pad.waitFor({ state: "detached" });
}

const radio = (place, name) => place.getByRole("radio", { name, exact: true }).tap();
const heading = (page) => page.locator("h1:visible").textContent();
const headed = (page, text) => page.locator("h1:visible").filter({ hasText: text }).waitFor();

async function template(page, size, opening = size.opening) {
  await write(page, "Finger to finger (pitch)", size.pitch);
  await write(page, "Width of an opening", opening);
  await write(page, "Outside diameter of the bushing", size.bushing);
  await write(page, "Thickness of the front (pin board)", size.front);
}

// printed touches the button, and measures what the printer would get.
async function printed({ page, screen }, name) {
  await page.getByRole("button", { name: "Print the bench sheet" }).tap();
  await page.waitForFunction(() => window.printed === 1);
  await page.emulateMedia({ media: "print" });
  const paper = await page.locator("#sheet").getAttribute("class");
  const svg = await page.locator("#sheet svg").boundingBox();
  const width = { a4: 210, letter: 215.9 }[paper];
  assert(Math.abs(svg.width - (width / 25.4) * 96) < 0.5, `${paper} is ${svg.width} px wide`);
  const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: true });
  const pages = pdf.toString("latin1").match(/\/Type\s*\/Page\b/g).length;
  assert.equal(pages, 1, "one page");
  if (kept) writeFileSync(join(kept, `${screen}-${name}.pdf`), pdf);
  await page.emulateMedia({ media: null });
  await page.evaluate(() => (window.printed = 0));
}

async function drawing(page, figures) {
  await page.locator("figure svg").first().waitFor();
  const shown = await page.locator("figure").evaluateAll((all) => all.map((f) => f.dataset.view));
  assert.deepEqual(shown.filter((view) => view !== "joint-play-larger"), figures); // there is not always room to enlarge
  const text = await page.locator("figure svg text").first().evaluate((e) => e.getBoundingClientRect().height);
  assert(text > 8, `the drawing's text is ${text} px high`);
}

async function whichCutter(screen, units) {
  const v = await visit(screen);
  const { page } = v;
  await look(v, "start");
  await radio(page.locator("header"), units === "in" ? "inch" : "mm");
  await page.getByRole("link", { name: "Which cutter?" }).tap();
  await look(v, `which-${units}-form`);
  await template(page, sizes[units]);
  await page.getByLabel("Finger to finger (pitch)").first().tap();
  await page.locator("dialog.keypad").waitFor();
  await look(v, `which-${units}-keypad`);
  if (units === "in") await page.getByRole("button", { name: "1/64 in", exact: true }).tap();
  const cut = await page.locator(".keypad button:visible").evaluateAll((all) => all.filter((e) => e.scrollWidth > e.clientWidth + 1).map((e) => e.textContent));
  assert.deepEqual(cut, [], "what stands on a key has room there");
  await page.keyboard.press("Escape");
  await page.getByRole("button", { name: "Find the cutter" }).tap();
  await headed(page, "Take the");
  await drawing(page, ["joint-end-view", "joint-cutter"]);
  await look(v, `which-${units}-answer`);
  await printed(v, `which-${units}-sheet`);
  // Only one of his own: it is taken, or said why not.
  await page.getByRole("link", { name: "Change what I wrote" }).tap();
  await radio(page, "Only those I have");
  await write(page, "Diameter of a cutter you have", sizes[units].cutter);
  await write(page, "Its angle in degrees", ["1", "4"]);
  await page.getByRole("button", { name: "Find the cutter" }).tap();
  await headed(page, units === "in" ? "Take the 1/2 in cutter, 14°" : "Take the 12.7 mm cutter, 14°");
  // On to the next door with this cutter, and nothing is typed twice.
  await page.getByRole("button", { name: "I cut it, and it doesn't fit" }).tap();
  assert.match(await page.getByLabel("Diameter of the cutter at its widest").inputValue(), units === "in" ? /^0.5 in$/ : /^12.7 mm$/);
  await leave(v);
}

async function willItFit(screen, units) {
  const v = await visit(screen, { locale: units === "in" ? "en-US" : "en-GB" });
  const { page } = v;
  const size = sizes[units];
  await page.getByRole("link", { name: "Will it fit?" }).tap();
  await template(page, size, size.narrow);
  await write(page, "Diameter of the cutter at its widest", size.cutter);
  await page.getByRole("button", { name: "See whether it fits" }).tap();
  await page.getByRole("alert").waitFor();
  const refused = await page.getByRole("alert").textContent();
  assert.match(refused, /Angle of the cutter in degrees: please fill this in/);
  assert.match(refused, /Depth of cut: please fill this in/);
  await look(v, `fit-${units}-missing`);
  await write(page, "Angle of the cutter in degrees", ["1", "4"]);
  await write(page, "Depth of cut", size.deep);
  await page.getByRole("button", { name: "See whether it fits" }).tap();
  await page.getByRole("alert").filter({ hasText: "bushing" }).waitFor();
  assert.equal(await page.getByLabel("Width of an opening").getAttribute("aria-invalid"), "true");
  assert.equal(await page.getByLabel("Width of an opening").inputValue(), units === "in" ? "3/8 in" : "9.5 mm", "what was typed is kept");
  await look(v, `fit-${units}-refused`);
  await write(page, "Width of an opening", size.opening);
  // The service is down, and comes back.
  await page.route("**/v1/**", (route) => route.abort());
  await page.getByRole("button", { name: "See whether it fits" }).tap();
  await page.getByRole("alert").filter({ hasText: "What you typed is still here" }).waitFor();
  await look(v, `fit-${units}-silent`);
  assert(v.complaints.length > 0 && v.complaints.every((c) => /Failed to load resource/.test(c)), v.complaints.join("\n"));
  v.complaints.length = 0;
  await page.unroute("**/v1/**");
  await page.getByRole("button", { name: "Try again" }).tap();
  await headed(page, /It should close by hand|A little loose|Tight/);
  await drawing(page, ["joint-end-view"]);
  await look(v, `fit-${units}-answer`);
  // The other units: the same answer in them.
  await radio(page.locator("header"), units === "in" ? "mm" : "inch");
  await page.locator(".facts").getByText(units === "in" ? / mm$/ : / in\b/).first().waitFor();
  await radio(page.locator("header"), units === "in" ? "inch" : "mm");
  await page.locator(".facts").getByText(units === "in" ? / in\b/ : / mm$/).first().waitFor();
  await printed(v, `fit-${units}-sheet`);
  const [file] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Keep it as a file" }).tap()]);
  assert.equal(readFileSync(await file.path()).subarray(0, 5).toString(), "%PDF-");
  await leave(v);
}

// calls notes what the page tells the service of a joint that does not fit, and
// what it answers; `instead` may put something else into the answer.
async function calls(page, instead = (answer) => answer) {
  const all = [];
  await page.route("**/v1/diagnoses", async (route) => {
    const response = await route.fetch();
    const told = route.request().postDataJSON();
    if (!response.ok()) return route.fulfill({ response });
    const answer = instead(await response.json());
    all.push({ told, answer });
    await route.fulfill({ response, json: answer });
  });
  return all;
}

// settled waits until the page shows the last answer.
async function settled(page, all, count) {
  for (let i = 0; all.length < count; i++) {
    assert(i < 100, `answer ${count} came`);
    await page.waitForTimeout(50);
  }
  await page.waitForFunction((text) => document.querySelector("#view h1")?.textContent === text && !document.body.hasAttribute("aria-busy"), all.at(-1).answer.decision.text);
}

// follows holds the page against the service's decision: its headline, the one
// check that is asked for, and no depth unless there is one to cut at.
async function follows(page, { answer }) {
  const { decision, next_check: next, next_depth: depth } = answer;
  assert.equal(await heading(page), decision.text);
  assert.equal(await page.locator(".check").count(), decision.check ? 1 : 0);
  if (decision.check) {
    assert.equal(decision.check, next.code);
    assert.equal(await page.locator(".ask").textContent(), next.text);
  }
  const likely = await page.locator(".causes .chance > span:first-child").allTextContents();
  assert.deepEqual(likely, decision.do === "stop" ? [] : answer.answers.filter((one, i) => i < 2 || one.probability >= 0.05).map((one) => one.text), "causes that nothing tells apart stand as one");
  if (decision.depth) return;
  const texts = await page.evaluate(() => {
    const walk = document.createTreeWalker(document.getElementById("view"), NodeFilter.SHOW_TEXT, (node) =>
      node.parentNode.closest(".cautions") ? NodeFilter.FILTER_REJECT : NodeFilter.FILTER_ACCEPT);
    const all = [...document.querySelectorAll("#view [aria-label]")].map((e) => e.getAttribute("aria-label"));
    while (walk.nextNode()) all.push(walk.currentNode.nodeValue);
    return all.flatMap((text) => text.split(/(?<=[.?!])\s/));
  });
  // While a check is asked for nothing is to be set: no depth, and no amount
  // to change it by. What to change instead may have an amount of its own.
  const [size, ofDepth] = [String.raw`\d[^.:a-z]*(\.\d+)?\s*(mm|in)\b`, "(deep|depth|shallow|lower|raise)"];
  const names = decision.do === "check" ? new RegExp(`${ofDepth}[^.:]{0,40}${size}|${size}[^.:,]{0,25}${ofDepth}`, "i")
    : new RegExp(`\\bto ${size}|depth (of|at|to) ${size}|${size}( \\([^)]*\\))? deep\\b`, "i");
  const named = texts.filter((text) => text.includes(depth?.text ?? "no depth") || names.test(text));
  assert.deepEqual(named, [], `a depth is named though what to do is to ${decision.do}`);
  assert.equal(await page.locator("figure").count(), 0);
}

// found answers the check that the page asks for, as a set-up would whose
// cutter was reground to 12.4 mm.
async function found(page, other = {}) {
  const values = {
    "Outside diameter of the bushing": "11.11 mm", "Diameter of the cutter at its widest": "12.4 mm", "Angle of the cutter in degrees": "14",
    "Depth in the front": "11.2 mm", "Depth in the side": "11.2 mm", "A pin at the face": "14.2 mm", "A tail at its end": "14.2 mm",
    "Socket for a pin, at the shoulder line": "13.5 mm", "Socket for a tail, at its floor": "13.5 mm",
    "Moisture of the front, percent": "9", "Moisture of the side, percent": "9", "How far are the two edges out of line?": "0 mm",
    "Thickness of the front (pin board)": "19 mm", "Thickness of the side (tail board)": "12 mm", "Width of an opening": "12.35 mm",
    "Slid home and pulled: how far does it open?": "0 mm", "Pushed home: how far does it stay open?": "0 mm", "The side does not end flush: by how much?": "0 mm",
    "Left end: how deep is it cut?": "11.2 mm", "Left end, pushed home: how far does it stay open?": "0.1 mm",
    "Right end: how deep is it cut?": "11.2 mm", "Right end, pushed home: how far does it stay open?": "0.2 mm", ...other,
  };
  const check = page.locator(".check");
  for (const label of await check.locator(".field:visible label").allTextContents()) {
    assert(values[label], `what is ${label}`);
    await check.getByLabel(label, { exact: true }).fill(values[label]);
  }
  for (const no of await check.getByRole("radio", { name: "No", exact: true }).all()) await no.tap();
  for (const end of await check.getByRole("radio", { name: "It won't start at all", exact: true }).all()) await end.tap();
  await check.getByRole("button", { name: /This is what I found|Go on/ }).tap();
}

async function toldOfTheSetUp(page, size, deep = size.deep) {
  await template(page, size);
  await write(page, "Diameter of the cutter at its widest", size.cutter);
  await write(page, "Angle of the cutter in degrees", ["1", "4"]);
  await write(page, "Depth of cut", deep);
}

async function itDoesNotFit(screen, units) {
  const v = await visit(screen);
  const { page } = v;
  const size = sizes[units];
  const all = await calls(page);
  await radio(page.locator("header"), units === "in" ? "inch" : "mm");
  await page.getByRole("link", { name: "It doesn't fit" }).tap();
  await radio(page, "It won't start at all");
  await look(v, `wrong-${units}-form`);
  await toldOfTheSetUp(page, size);
  await page.getByRole("button", { name: "Find out why" }).tap();
  await settled(page, all, 1);
  await follows(page, all.at(-1));
  await look(v, `wrong-${units}-check`);
  // Nothing was written: that is no answer.
  await page.getByRole("button", { name: "This is what I found" }).tap();
  await page.getByRole("alert").waitFor();
  assert.equal(all.length, 1);
  // The first check can't be made here: another is asked for.
  const first = all[0].answer.decision.check;
  await page.getByRole("button", { name: "I can't check that here" }).tap();
  await settled(page, all, 2);
  assert.deepEqual(all[1].told.unavailable, [first]);
  assert.notEqual(all[1].answer.decision.check, first);
  for (let check; (check = all.at(-1).answer.decision.check);) {
    const count = all.length;
    assert(count < 10, "it ends");
    await follows(page, all.at(-1));
    await found(page);
    await settled(page, all, count + 1);
    assert(all.at(-1).told.answered.includes(check), `${check} was made`);
  }
  await follows(page, all.at(-1));
  assert.equal(all.at(-1).answer.decision.do, "cut");
  assert.match(await heading(page), /^Shallower, by about/);
  await drawing(page, ["sheet-end-view"]);
  await look(v, `wrong-${units}-steps`);
  await printed(v, `wrong-${units}-sheet`);
  await nextJoint(v, all, units);
  await leave(v);
}

// nextJoint tells what became of the joint that was to be cut: those before it
// go on being told, each with its depth.
async function nextJoint(v, all, units) {
  const { page } = v;
  const { told, answer } = all.at(-1);
  const count = all.length;
  await page.locator("summary").filter({ hasText: "I cut it" }).tap();
  const next = page.locator("details").filter({ hasText: "I cut it" });
  const deep = await next.getByLabel("Depth of cut").inputValue();
  assert(answer.decision.text.includes(deep.replace(/ (in|mm)$/, "")), `${deep} is what "${answer.decision.text}" says`);
  await next.getByRole("button", { name: "What now?" }).tap();
  await page.getByRole("alert").filter({ hasText: "please fill this in" }).waitFor();
  await radio(next, "It closes by hand");
  await look(v, `wrong-${units}-next`);
  // What to do stands without its drawing.
  await page.route("**/v1/setup-sheets", (route) => route.fulfill(problem(422)));
  await next.getByRole("button", { name: "What now?" }).tap();
  await settled(page, all, count + 1);
  const after = all.at(-1);
  await follows(page, after);
  await page.locator(".drawn").getByText("There is no drawing of this").waitFor();
  assert.equal(await page.getByRole("alert").count(), 0);
  const depth = told.setup.depth;
  assert.deepEqual(after.told.test_cuts, [{ depth, ...told.test_cuts[0] }, { feel: "hand_pressure" }]);
  assert.equal(after.told.setup.depth, deep);
  assert(!(after.told.answered ?? []).includes("measure_widths"), "widths were those of the joint before");
  assert.equal(after.answer.decision.do, "stop");
  await look(v, `wrong-${units}-fits`);
}

// Each check and question is asked for by itself, and what was found goes where
// the service reads it.
const posted = {
  measure_bushing: (t) => t.setup.bushing.diameter === "11.11 +/- 0.03 mm" && t.setup.bushing.labelled === "11.1 mm" && t.findings.bushing_wobbles === false,
  measure_cutter: (t) => t.setup.cutter.diameter === "12.4 +/- 0.03 mm" && t.setup.cutter.labelled === "12.7 mm" && t.findings.cutter_dull === false,
  measure_cutter_angle: (t) => t.setup.cutter.angle === 14 && t.setup.cutter.angle_tolerance === 0.6,
  measure_depth: (t) => t.test_cuts[0].measured.depth_pin_board === "11.2 mm" && t.test_cuts[0].measured.depth_tail_board === "11.2 mm" && t.findings.depth_moved === false,
  measure_widths: (t) => Object.keys(t.test_cuts[0].measured).length === 4 && t.findings.one_pin_off === false,
  pull_joint: (t) => t.test_cuts[0].pulled_gap === "0 mm" && t.test_cuts[0].shoulder_gap === "0 mm",
  see_seat: (t) => t.test_cuts[0].seat === "0 mm",
  see_edges: (t) => t.test_cuts[0].edge_step === "0 mm" && t.findings.edges_half_pitch_off === false && t.findings.edges_mirrored === false && t.findings.corner_not_square === false,
  straightedge: (t) => t.findings.boards_cupped === false,
  rock_template: (t) => t.findings.template_rocks === false && t.findings.chips_found === false,
  scrap_slot: (t) => t.setup.cutter.diameter === "12.4 +/- 0.06 mm" && t.setup.cutter.labelled === "12.7 mm" && t.setup.cutter.angle_tolerance === 0.7,
  moisture_meter: (t) => t.setup.pin_board.moisture === 9 && t.setup.tail_board.moisture === 9,
  look_both_ends: (t) => JSON.stringify(t.test_cuts[0].along) === JSON.stringify([
    { feel: "will_not_start", position: "0 mm", measured: { depth_pin_board: "11.2 mm" }, shoulder_gap: "0.1 mm" },
    { feel: "will_not_start", position: "100 mm", measured: { depth_pin_board: "11.2 mm" }, shoulder_gap: "0.2 mm" },
  ]),
  measure_boards: (t) => t.setup.pin_board.thickness === "19 +/- 0.1 mm" && t.setup.tail_board.thickness === "12 +/- 0.1 mm",
  measure_template: (t) => t.setup.template.opening === "12.35 +/- 0.03 mm",
  ask_cutter_changed: (t) => t.findings.cutter_changed === false,
  ask_one_setting: (t) => t.findings.one_setting === false,
  ask_cut_weeks_ago: (t) => t.findings.cut_weeks_ago === false,
  ask_router_turned: (t) => t.findings.router_turned === false,
  ask_second_pass: (t) => t.findings.second_pass === false,
  ask_tear_out: (t) => t.findings.tear_out === false,
};

async function everyCheck(screen) {
  const v = await visit(screen);
  const { page } = v;
  let code;
  const all = await calls(page, (answer) => (code ? asksFor(answer, code) : answer));
  for (const [check, holds] of Object.entries(posted)) {
    const asks = async () => {
      all.length = 0;
      code = check;
      await page.getByRole("button", { name: "Find out why" }).tap();
      await settled(page, all, 1);
      await follows(page, all[0]);
      code = undefined;
    };
    await page.getByRole("link", { name: "It doesn't fit" }).tap();
    await radio(page, "It won't start at all");
    if (!check.startsWith("ask_")) await toldOfTheSetUp(page, sizes.mm);
    await asks();
    await look(v, `check-${check}`);
    if (check.startsWith("ask_")) {
      await doesNotKnow(page, all, check);
      await page.getByRole("link", { name: "Change what I wrote" }).tap();
      await asks();
    }
    await found(page);
    await settled(page, all, 2);
    assert(holds(all[1].told), `${check} is told: ${JSON.stringify(all[1].told)}`);
    assert.deepEqual(all[1].told.answered, [check]);
    await page.getByRole("button", { name: "Start over" }).tap();
    await page.getByRole("button", { name: "Forget it all" }).tap();
  }
  await leave(v);
}

const asksFor = (answer, code) => ({
  ...answer,
  decision: { ...answer.decision, do: "check", check: code, depth: null, text: `Please: ${code}.` },
  next_check: { ...answer.next_check, code, text: `What of ${code}?`, outcomes: [{ if: "both boards are cut about 10.5 mm deep", means: "depth", cause: "depth_off", probability: 0.5 }].filter(() => /measure_depth|look_both_ends/.test(code)) },
});

// doesNotKnow: a question that nobody can answer sets no finding, and is not
// asked again.
async function doesNotKnow(page, all, code) {
  await page.getByRole("button", { name: "Go on" }).tap();
  await page.getByRole("alert").waitFor();
  assert.equal(await page.getByRole("button", { name: "I can't check that here" }).count(), 0, "don't know says it");
  await radio(page.locator(".check"), "Don't know");
  await page.getByRole("button", { name: "Go on" }).tap();
  await settled(page, all, 2);
  assert.deepEqual(all[1].told.answered, [code]);
  assert.equal(all[1].told.findings?.[code.replace("ask_", "")], undefined);
}

// Widths that no joint that won't start can have are asked for again: until
// they are read again they are told, and not said to be answered. Who reads
// the same again is not asked a third time.
async function readsAgain() {
  const v = await visit("phone");
  const { page } = v;
  const all = await calls(page);
  const wide = { "A pin at the face": "13.3 mm", "A tail at its end": "13.3 mm", "Socket for a pin, at the shoulder line": "14.4 mm", "Socket for a tail, at its floor": "13.9 mm" };
  await page.getByRole("link", { name: "It doesn't fit" }).tap();
  await radio(page, "It won't start at all");
  await toldOfTheSetUp(page, sizes.mm);
  await page.getByRole("button", { name: "Find out why" }).tap();
  await settled(page, all, 1);
  await found(page, wide);
  await settled(page, all, 2);
  assert.deepEqual(all[1].told.answered, ["measure_widths"]);
  assert.equal(all[1].answer.decision.check, "measure_widths", "it is asked for again");
  await follows(page, all[1]);
  await page.getByText("You checked this before").waitFor();
  await look(v, "wrong-again");
  await radio(page.locator("header"), "inch");
  await settled(page, all, 3);
  assert.equal(all[2].told.answered, undefined);
  assert.equal(all[2].told.test_cuts[0].measured.pin_socket_widest, "14.4 mm");
  await found(page, wide);
  await settled(page, all, 4);
  assert.deepEqual([all[3].told.answered, all[3].told.unavailable], [["measure_widths"], ["measure_widths"]]);
  assert.notEqual(all[3].answer.decision.check, "measure_widths");
  await leave(v);
}

// Hardly anything is known, and still something comes of it.
async function knowsNothing(screen) {
  const v = await visit(screen);
  const { page } = v;
  const all = await calls(page);
  await page.getByRole("link", { name: "It doesn't fit" }).tap();
  await radio(page, "It falls in and rattles");
  await page.locator("summary").filter({ hasText: "Did you notice" }).tap();
  await page.getByRole("checkbox", { name: "The router was turned while cutting" }).tap();
  await page.getByRole("button", { name: "Find out why" }).tap();
  await settled(page, all, 1);
  for (let check; (check = all.at(-1).answer.decision.check);) {
    const count = all.length;
    assert(count <= 21, "it ends");
    await follows(page, all.at(-1));
    if (check.startsWith("ask_")) {
      await radio(page.locator(".check"), "Don't know");
      await page.getByRole("button", { name: "Go on" }).tap();
    } else await page.getByRole("button", { name: "I can't check that here" }).tap();
    await settled(page, all, count + 1);
  }
  await follows(page, all.at(-1));
  await look(v, "wrong-nothing-known");
  await page.getByRole("button", { name: "Print these steps" }).tap();
  assert.equal(await page.evaluate(() => window.printed), 1);
  await leave(v);
}

// Whatever goes wrong between page and service is said in its own words, and
// there is a way on; nothing typed is lost.
const html = { contentType: "text/html", body: "<h1>Sign in</h1>" };
const problem = (status, more = {}) => ({ status, contentType: "application/problem+json", body: JSON.stringify({ type: "x", title: "x", status, detail: "x", request_id: "42ab" }), ...more });
const troubles = {
  "The network is gone": (route) => route.abort(),
  "Something else answered": (route) => route.fulfill({ status: 200, ...html }),
  "This page may not ask here": (route) => route.fulfill(problem(401)),
  "That is too much at once": (route) => route.fulfill({ status: 413, ...html }),
  "Too many questions just now": (route) => route.fulfill(problem(429, { headers: { "Retry-After": "2" } })),
  "The service is not ready": (route) => route.fulfill({ status: 503, headers: { "Retry-After": "1" }, ...html }),
  "The service failed": (route) => route.fulfill(problem(500)),
};

async function fitForm(page, size = sizes.mm) {
  await page.getByRole("link", { name: "Will it fit?" }).tap();
  await radio(page.locator("header"), "mm");
  const values = {
    "Finger to finger (pitch)": "22.225 mm", "Width of an opening": "12.3 mm", "Outside diameter of the bushing": "11.1 mm",
    "Diameter of the cutter at its widest": "12.7 mm", "Angle of the cutter in degrees": "14", "Depth of cut": "11 mm",
    "Thickness of the front (pin board)": "19 mm",
  };
  for (const [label, value] of Object.entries(values)) await page.getByLabel(label, { exact: true }).first().fill(value);
}

const quietly = (v) => {
  assert(v.complaints.every((c) => /Failed to load resource/.test(c)), v.complaints.join("\n"));
  v.complaints.length = 0;
};

async function tellsTroubles() {
  const v = await visit("phone");
  const { page } = v;
  await fitForm(page);
  const seen = new Set();
  for (const [said, how] of Object.entries(troubles)) {
    await page.route("**/v1/{fit-predictions,corrections}", how);
    await page.getByRole("button", { name: "See whether it fits" }).tap();
    const alert = page.getByRole("alert").filter({ hasText: said });
    await alert.waitFor();
    await alert.getByText("What you typed is still here").waitFor();
    if (said === "The service failed") await alert.getByText("42ab").waitFor();
    const waits = { "Too many questions just now": 2, "The service is not ready": 1 }[said] ?? 0;
    if (waits > 0) assert(await alert.getByRole("button", { name: `Try again in ${waits} s` }).isDisabled(), "Retry-After is kept");
    seen.add(await alert.locator("p").first().textContent());
    await look(v, `trouble-${seen.size}`);
    await page.unroute("**/v1/{fit-predictions,corrections}");
    quietly(v);
    await alert.getByRole("button", { name: "Try again", exact: true }).tap();
    await page.locator(".chances").waitFor();
    await page.getByRole("link", { name: "Change what I wrote" }).tap();
  }
  assert.equal(seen.size, Object.keys(troubles).length, "each has its own words");
  // The drawing alone fails: the answer stands, and the drawing can be asked for again.
  await page.route("**/v1/joint-drawings", (route) => route.fulfill({ status: 502, ...html }));
  await page.getByRole("button", { name: "See whether it fits" }).tap();
  await page.locator("#view .undrawn").getByText("The answer stands").waitFor();
  assert.equal(await page.locator(".chances").count(), 1);
  assert.equal(await page.getByRole("alert").count(), 0);
  await look(v, "trouble-drawing");
  await page.unroute("**/v1/joint-drawings");
  quietly(v);
  await page.locator("#view .undrawn").getByRole("button", { name: "Try again" }).tap();
  await page.locator("#view .drawn figure").first().waitFor();
  await leave(v);
}

// A service that takes 2 s is seen to be at work, is asked once however often it
// is tapped, and does not fetch back who went back.
async function slow() {
  const v = await visit("phone");
  const { page } = v;
  await fitForm(page);
  let asked = 0;
  await page.route("**/v1/corrections", async (route) => {
    asked++;
    const response = await route.fetch().catch(() => null);
    await new Promise((done) => setTimeout(done, 2000));
    if (response) await route.fulfill({ response }).catch(() => {});
  });
  const button = page.getByRole("button", { name: "See whether it fits" });
  for (let i = 0; i < 4; i++) await button.tap();
  await page.locator("#waiting").waitFor();
  await page.waitForTimeout(700);
  await look(v, "waiting");
  await page.locator(".chances").waitFor();
  assert.equal(asked, 1);
  await page.getByRole("link", { name: "Change what I wrote" }).tap();
  await button.tap();
  await page.locator("#waiting").waitFor();
  await page.goBack();
  await page.waitForTimeout(2500);
  assert.equal(await page.locator(".chances").count() === 0 || (await page.evaluate(() => location.hash)) === "#fit.answer", true);
  assert.equal(await page.locator("#waiting").isVisible(), false);
  await page.getByRole("button", { name: "Start over" }).tap();
  await page.getByRole("button", { name: "Keep it", exact: true }).tap();
  await page.getByRole("button", { name: "Start over" }).tap();
  await look(v, "start-over");
  await page.getByRole("button", { name: "Forget it all" }).tap();
  await page.locator("#start").waitFor();
  await page.getByRole("button", { name: "Start over" }).tap(); // nothing to forget: nothing is asked
  assert.equal(await page.locator("dialog").count(), 0);
  v.complaints.length = 0;
  await leave(v);
}

// What can't be is refused at all three doors in the same words, beside the same field.
async function refusesAlike() {
  const v = await visit("phone");
  const { page } = v;
  for (const [label, value, said] of [["Width of an opening", "10 mm", /doesn't go into an opening/], ["Finger to finger (pitch)", "1981 mm", /more than 4 openings/]]) {
    await fitForm(page);
    await page.getByLabel(label, { exact: true }).first().fill(value);
    for (const [door, button] of [["Which cutter?", "Find the cutter"], ["Will it fit?", "See whether it fits"], ["It doesn't fit", "Find out why"]]) {
      await page.goto(`${base}/#`);
      await page.getByRole("link", { name: door }).tap();
      if (door === "It doesn't fit") await radio(page, "It won't start at all");
      await page.getByRole("button", { name: button }).tap();
      const alert = page.getByRole("alert").filter({ hasText: said });
      await alert.waitFor();
      assert.equal(await page.getByLabel(label, { exact: true }).first().getAttribute("aria-invalid"), "true");
      assert(!/-\d/.test(await alert.textContent()), "no depth below 0");
    }
    await page.goto(`${base}/#`);
  }
  await leave(v);
}

// What the operator's file lists; that the service answers it as it stands there
// is tested elsewhere.
const shop = JSON.parse(readFileSync(new URL("shop.json", import.meta.url), "utf8"));
const listed = (page) => page.route("**/v1/shop", (route) => route.fulfill({ json: shop }));

const taps = (page) => page.evaluate(() => window.taps);
const few = async (page, most, what) => {
  const counted = await taps(page);
  console.log(`  ${what}: ${counted} taps`);
  assert(counted <= most, `${what} takes ${counted} taps, not ${most}`);
};

// key presses keys of the keypad, which goes on to the next line by itself.
async function keys(page, ...all) {
  for (const key of all) {
    if (/\/(32|64)$/.test(key)) await page.locator("dialog.keypad").getByRole("button", { name: key.endsWith("32") ? "1/32 in" : "1/64 in", exact: true }).tap();
    await page.locator("dialog.keypad").getByRole("button", { name: key, exact: true }).tap();
  }
}

// Each tap is counted: with the shop's own listed, and without.
async function fewTaps() {
  const withShop = async (door, path, most, what) => {
    const v = await visit("kiosk");
    await listed(v.page);
    await v.page.reload();
    await v.page.getByRole("link", { name: door }).tap();
    await path(v);
    await few(v.page, most, what);
    await leave(v);
  };
  const pick = (page, name) => page.getByRole("radio", { name, exact: true }).tap();
  await withShop("Which cutter?", async (v) => {
    await pick(v.page, "Template with wide fingers");
    await pick(v.page, "Bushing A");
    await pick(v.page, "Red oak, 19 mm");
    await look(v, "shop-which");
    await v.page.getByRole("button", { name: "Find the cutter" }).tap();
    await headed(v.page, /Take the (12.7|11.11) mm cutter/);
  }, 6, "which cutter, in the shop");
  await withShop("Will it fit?", async (v) => {
    await pick(v.page, "Template with wide fingers");
    await pick(v.page, "Bushing A");
    await pick(v.page, "Drawer 1");
    await v.page.locator(".slide input").tap();
    await v.page.waitForFunction(() => document.getElementById("at-setup-depth").value !== "");
    await look(v, "shop-fit");
    await v.page.getByRole("button", { name: "See whether it fits" }).tap();
    await v.page.locator(".chances").waitFor();
  }, 6, "will it fit, in the shop");
  await withShop("It doesn't fit", async (v) => {
    await radio(v.page, "It needs hard blows");
    await v.page.getByRole("button", { name: "Find out why" }).tap();
    await v.page.locator(".check").waitFor();
  }, 3, "it doesn't fit, to the first check");
  const typed = async (door, button, all, most, what) => {
    const v = await visit("phone", { locale: "en-US" });
    await v.page.getByRole("link", { name: door }).tap();
    await v.page.getByLabel("Finger to finger (pitch)").tap();
    await keys(v.page, ...all);
    await v.page.locator("dialog.keypad").waitFor({ state: "detached" });
    await v.page.getByRole("button", { name: button }).tap();
    await v.page.locator("#view .facts").waitFor();
    await few(v.page, most, what);
    await leave(v);
  };
  await typed("Which cutter?", "Find the cutter", ["7/8", "Next", "31/64", "Next", "7/16 in", "3/4 in"], 12, "which cutter, typed");
  await typed("Will it fit?", "See whether it fits", ["7/8", "Next", "31/64", "Next", "7/16 in", "1/2 in", "14", "7/16", "Next", "3/4 in"], 14, "will it fit, typed");
}

// The joint beside the form changes with what is written; the slider tells how it
// would fit at depths that can be set, looser where it is shallower.
async function liveJoint() {
  for (const screen of Object.keys(screens)) {
    const v = await visit(screen);
    const { page } = v;
    await page.getByRole("link", { name: "Will it fit?" }).tap();
    await page.locator(".live").getByText("As soon as").waitFor();
    await page.goto(`${base}/#`);
    await fitForm(page);
    const line = page.locator(".slide input");
    await line.waitFor();
    await page.locator(".joint figure svg").waitFor();
    assert.match(await page.locator(".said").textContent(), /^11 mm: Closes by hand, fits at first with \d+ %$/);
    await look(v, "live");
    const drawn = () => page.locator(".joint figure").innerHTML();
    const told = async (at) => {
      const before = await drawn();
      await line.evaluate((e, to) => {
        e.value = to === "end" ? e.max : "0";
        for (const type of ["input", "change"]) e.dispatchEvent(new Event(type, { bubbles: true }));
      }, at);
      await page.waitForFunction((old) => { const f = document.querySelector(".joint figure"); return f && f.innerHTML !== old; }, before);
      return page.locator(".said").textContent();
    };
    assert.match(await told("end"), /Won't close/);
    assert.match(await told("start"), /Rattles/);
    const depth = await page.getByRole("textbox", { name: "Depth of cut" }).inputValue();
    assert.match(await page.locator(".said").textContent(), new RegExp(`^${depth}: `), "the slider writes the depth");
    assert(parseFloat(depth) < 11);
    const order = await page.locator(".rung").evaluateAll((all) => all.map((e) => ["too_loose", "loose", "hand_fit", "tight", "will_not_close"].findIndex((b) => e.classList.contains(b))));
    assert.deepEqual(order, order.toSorted((a, b) => a - b), "from too loose to won't close");
    assert(new Set(order).size >= 4, "marks lie where it is decided");
    // A field that changes: another joint.
    const before = await drawn();
    await page.getByLabel("Angle of the cutter in degrees").fill("9");
    await page.getByLabel("Angle of the cutter in degrees").press("Tab");
    await page.waitForFunction((old) => { const f = document.querySelector(".joint figure"); return f && f.innerHTML !== old; }, before);
    await leave(v);
  }
}

// What is asked for is lit in a picture, one dimension at a time.
async function litPictures() {
  const v = await visit("phone");
  const { page } = v;
  await page.getByRole("link", { name: "It doesn't fit" }).tap();
  await page.evaluate(() => document.querySelectorAll("details").forEach((d) => (d.open = true)));
  const lines = await page.locator("form input[type=text]:visible").evaluateAll((all) => all.map((e) => e.id));
  const bare = [];
  for (const line of lines) {
    await page.locator(`#${line}`).tap();
    const pad = page.locator("dialog.keypad");
    await pad.waitFor();
    const lit = await pad.locator(".measure .lit").count();
    if (lit === 0) bare.push(line);
    else assert.equal(lit, 1, line);
    assert.equal(await pad.locator("[data-for]:not(.lit)").count(), 0, line);
    if (lit > 0) {
      const label = await pad.locator(".measure svg").evaluate((svg) => 4.5 * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width);
      assert(label >= 11, `a picture's label is ${label} px high`);
    }
    await page.keyboard.press("Escape");
    await pad.waitFor({ state: "detached" });
  }
  assert.deepEqual(bare, []);
  await page.getByLabel("Finger to finger (pitch)").tap();
  await look(v, "lit");
  await leave(v);
}

const scanner = readFileSync(createRequire(import.meta.url).resolve("jsqr/dist/jsQR.js"), "utf8");

// scanned reads a QR code off what is drawn, as a phone's camera would.
async function scanned(page, selector) {
  await page.evaluate(scanner);
  return page.locator(selector).first().evaluate(async (e) => {
    const svg = e.ownerSVGElement ?? e;
    const copy = svg.cloneNode(true);
    const box = e === svg ? svg.viewBox.baseVal : e.getBBox();
    copy.setAttribute("viewBox", `${box.x} ${box.y} ${box.width} ${box.height}`);
    copy.setAttribute("width", "900");
    copy.setAttribute("height", "900");
    const image = new Image();
    image.src = `data:image/svg+xml;base64,${btoa(unescape(encodeURIComponent(new XMLSerializer().serializeToString(copy))))}`;
    await image.decode();
    const canvas = Object.assign(document.createElement("canvas"), { width: 900, height: 900 });
    const paint = canvas.getContext("2d");
    paint.drawImage(image, 0, 0);
    return window.jsQR(paint.getImageData(0, 0, 900, 900).data, 900, 900)?.data ?? null;
  });
}

// The set-up goes along on the phone: what the screen and the sheet show opens
// this page filled in, and no server is told of it.
async function alongOnThePhone() {
  const v = await visit("kiosk");
  const { page } = v;
  await fitForm(page);
  await page.getByRole("button", { name: "See whether it fits" }).tap();
  await page.locator(".chances").waitFor();
  await page.getByLabel("Name of the job").fill("Chart cabinet");
  await page.locator("summary").filter({ hasText: "Take it along" }).tap();
  await page.locator(".code svg").waitFor();
  await look(v, "along");
  const address = await scanned(page, ".code svg");
  const sheet = page.waitForRequest("**/v1/setup-sheets");
  await page.getByRole("button", { name: "Print the bench sheet" }).tap();
  assert.equal((await sheet).postDataJSON().job, "Chart cabinet");
  await page.locator("#sheet svg").waitFor({ state: "attached" });
  await page.emulateMedia({ media: "print" });
  assert.equal(await scanned(page, "#sheet-qr"), address, "sheet and screen say the same");
  assert.match(await page.locator("#sheet svg").textContent(), /Chart cabinet/);
  await leave(v);

  const [home, fragment] = address.split("#");
  assert.equal(home, "http://joints.example.org/");
  const w = await visit("phone");
  const told = [];
  w.page.on("request", (r) => told.push(new URL(r.url()).pathname, r.headers().referer ?? ""));
  await w.page.goto("about:blank");
  await w.page.goto(`${base}/#${fragment}`);
  await headed(w.page, "Will it fit?");
  assert.equal(await w.page.evaluate(() => location.hash), "#fit", "it is taken out of the address");
  assert.equal(await w.page.getByLabel("Finger to finger (pitch)").inputValue(), "22.225 mm");
  assert.equal(await w.page.getByRole("textbox", { name: "Depth of cut" }).inputValue(), "11 mm");
  await w.page.getByRole("button", { name: "See whether it fits" }).tap();
  await w.page.locator(".chances").waitFor();
  assert.equal(await w.page.getByLabel("Name of the job").inputValue(), "Chart cabinet");
  assert(told.every((url) => !url.includes("22.225") && !url.includes("pitch")), "no server sees it");
  await leave(w);
}

// A German browser is spoken to in German, at every door, with a comma in what it
// reads and a point in what is posted; another language is chosen on the page, and
// what was typed comes along.
async function speaks() {
  for (const screen of Object.keys(screens)) {
    const v = await visit(screen, { locale: "de-DE" });
    const { page } = v;
    assert.equal(await page.locator("html").getAttribute("lang"), "de");
    await look(v, "de-start");
    for (const door of ["which", "fit", "wrong"]) {
      await page.goto(`${base}/#${door}`);
      await page.locator("#view h1").waitFor();
      await look(v, `de-${door}`);
    }
    await page.goto("about:blank");
    await page.goto(`${base}/#fit?${new URLSearchParams({ units: "mm", "template.kind": "one_piece", "template.pitch": "22.225 mm", "template.opening": "12.29 mm", "bushing.diameter": "11.11 mm", "cutter.diameter": "12.7 mm", "cutter.angle": "14", depth: "10.9 mm", "pin_board.thickness": "18.6 mm" })}`);
    assert.equal(await page.getByRole("textbox", { name: "Frästiefe" }).inputValue(), "10,9 mm");
    const asked = page.waitForRequest("**/v1/fit-predictions");
    await page.getByRole("button", { name: "Passung ansehen" }).tap();
    assert.equal((await asked).postDataJSON().setup.template.pitch, "22.225 mm");
    await page.locator(".chances").waitFor();
    await page.locator(".drawn figure svg").first().waitFor();
    await look(v, "de-fit-answer");
    const said = await page.locator("#view").innerText();
    assert.match(said, /\d,\d+ mm/, "lengths have a comma");
    assert.doesNotMatch(said, /\d\.\d+ mm|\[|\b(the|and|with|cutter|template|bushing)\b/, "all of it is German");
    await page.locator("a.back").tap();
    await page.locator(".languages a").tap();
    await page.waitForURL("**/?lang=en*");
    await headed(page, "Will it fit?");
    assert.equal(await page.getByRole("textbox", { name: "Depth of cut" }).inputValue(), "10.9 mm", "what was typed comes along");
    await leave(v);
  }
}

// The contract's own page can be read and used by everyone: closed, open, answered.
async function docs() {
  const v = await visit("phone", { path: "/docs" });
  const { page } = v;
  await page.locator(".opblock").first().waitFor();
  await page.waitForTimeout(300);
  await reach(page, "docs");
  await page.locator(".opblock-summary-control").nth(1).tap();
  await page.locator(".execute").first().waitFor();
  await page.locator(".execute").first().tap();
  await page.locator(".live-responses-table .response-col_status").first().waitFor();
  await page.waitForTimeout(500);
  await reach(page, "docs, open and answered");
  await leave(v);
}

// At 200 % and at 320 px nothing is cut, and drawings that are wider say that they
// can be moved; their labels are high enough for where they are read.
async function legible() {
  for (const [screen, least] of [["phone", 11], ["kiosk", 32]]) {
    const v = await visit(screen);
    const { page } = v;
    await fitForm(page);
    await page.getByRole("button", { name: "See whether it fits" }).tap();
    await page.locator("#view .drawn figure svg").first().waitFor();
    await page.waitForTimeout(300);
    const figures = await page.locator("#view .drawn figure").evaluateAll((all) => all.map((f) => {
      const svg = f.querySelector("svg");
      const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
      return {
        label: Math.min(...[...svg.querySelectorAll("text")].map((e) => Number(e.getAttribute("font-size")) * scale)),
        wide: f.scrollWidth > f.clientWidth + 1, told: f.previousElementSibling?.classList.contains("moves") ?? false, reached: f.tabIndex === 0,
      };
    }));
    for (const f of figures) {
      assert(f.label >= least, `${screen}: a label is ${f.label} px high, not ${least}`);
      assert.equal(f.told, f.wide, "a drawing that scrolls says so");
      assert.equal(f.reached, f.wide, "and is reached by keyboard");
    }
    if (screen === "kiosk") {
      const size = await page.evaluate(() => parseFloat(getComputedStyle(document.querySelector("#view p")).fontSize));
      assert(size >= 32.6, `texts are ${size} px: 20 minutes of arc from 1.5 m on a screen of 32 in are 8.7 mm`);
    }
    await leave(v);
  }
  const v = await visit("phone");
  await v.page.setViewportSize({ width: 640, height: 800 });
  await v.page.evaluate(() => (document.documentElement.style.zoom = "2"));
  await fitForm(v.page);
  await look(v, "zoomed");
  await leave(v);
}

// Everything by keyboard: what is focused is typed into, Enter asks.
async function byKeyboard() {
  const v = await visit("kiosk", { reduced: true });
  const { page } = v;
  const reach = async (test) => {
    for (let i = 0; i < 60; i++) {
      await page.keyboard.press("Tab");
      if (await page.evaluate(test)) return;
    }
    assert.fail(`not to be reached by keyboard: ${test}`);
  };
  await reach(() => document.activeElement.textContent.startsWith("Will it fit?"));
  await page.keyboard.press("Enter");
  await headed(page, "Will it fit?");
  const typed = { "template-pitch": "7/8 in", "template-opening": "0.484 in", "bushing-diameter": "7/16 in", "cutter-diameter": "1/2 in", "cutter-angle": "14", depth: "7/16 in", "pin_board-thickness": "19" };
  for (const [name, text] of Object.entries(typed)) {
    await reach(new Function(`return document.activeElement.id === "at-setup-${name}"`));
    await page.keyboard.type(text);
  }
  await page.keyboard.press("Enter");
  await headed(page, /It should close by hand|A little loose|Tight/);
  assert.equal(await page.evaluate(() => document.activeElement.tagName), "H1", "the answer has the focus");
  await reach(() => document.activeElement.textContent === "Print the bench sheet");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => window.printed === 1);
  await page.goBack();
  await headed(page, "Will it fit?");
  assert.equal(await page.getByLabel("Thickness of the front (pin board)").inputValue(), "19 mm", "a bare number has the page's unit");
  await leave(v);
}

// Left alone the page asks, and then forgets everything.
async function forgets() {
  const v = await visit("kiosk", { path: "/?idle=4" });
  const { page } = v;
  await page.getByRole("link", { name: "Will it fit?" }).tap();
  await write(page, "Finger to finger (pitch)", ["2", "2"]);
  await page.locator("dialog.idle").waitFor();
  await look(v, "idle");
  await page.getByRole("button", { name: "I'm still here" }).tap();
  assert.equal(await page.getByLabel("Finger to finger (pitch)").inputValue(), "22 mm");
  await page.locator("dialog.idle").waitFor();
  await page.locator("#start").waitFor(); // nobody answered
  assert.equal(await page.locator("dialog").count(), 0);
  await page.getByRole("link", { name: "Will it fit?" }).tap();
  assert.equal(await page.getByLabel("Finger to finger (pitch)").inputValue(), "");
  const stored = await page.evaluate(() => [localStorage.length, sessionStorage.length, document.cookie]);
  assert.deepEqual(stored, [0, 0, ""]);
  assert.deepEqual(await v.context.cookies(), []);
  await leave(v);
}

// Small, and shown after one request: nothing else blocks the first paint.
async function light() {
  const v = await visit("phone");
  const { page } = v;
  await page.waitForLoadState("networkidle");
  const [bytes, blocking, painted, rounds] = await page.evaluate(async () => {
    await new Promise((done) => new PerformanceObserver(done).observe({ type: "paint", buffered: true }));
    const page = performance.getEntriesByType("navigation")[0];
    const loaded = performance.getEntriesByType("resource").filter((r) => !r.name.includes("/v1/"));
    return [
      page.encodedBodySize + loaded.reduce((sum, r) => sum + r.encodedBodySize, 0),
      loaded.filter((r) => r.renderBlockingStatus === "blocking").map((r) => r.name),
      performance.getEntriesByName("first-contentful-paint")[0].startTime,
      loaded.filter((r) => r.name.endsWith(".js")).every((r) => r.startTime <= Math.min(...loaded.map((l) => l.responseEnd)) || r.startTime < page.responseEnd + 100),
    ];
  });
  assert(bytes < 250_000, `${bytes} bytes`);
  assert.deepEqual(blocking, []);
  assert(rounds, "modules load in one round");
  await fitForm(page);
  await page.getByRole("button", { name: "See whether it fits" }).tap();
  await page.locator("#view .drawn figure svg").first().waitFor();
  const whole = await page.evaluate(() => [...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")].reduce((sum, r) => sum + r.encodedBodySize, 0));
  assert(whole < 250_000, `${whole} bytes with the first answer`);
  console.log(`page: ${whole} bytes with the first answer and its drawings`);
  console.log(`page: ${bytes} bytes in all, first contentful paint ${Math.round(painted)} ms after the address was opened`);
  await leave(v);
}

const everything = {
  doors: async () => {
    for (const screen of Object.keys(screens)) {
      for (const units of ["in", "mm"]) {
        await whichCutter(screen, units);
        await willItFit(screen, units);
        await itDoesNotFit(screen, units);
      }
      await knowsNothing(screen);
    }
  },
  checks: () => everyCheck("phone"),
  again: readsAgain,
  troubles: tellsTroubles,
  slow,
  refusals: refusesAlike,
  taps: fewTaps,
  live: liveJoint,
  lit: litPictures,
  along: alongOnThePhone,
  speaks,
  docs,
  legible,
  keyboard: byKeyboard,
  forgets,
  light,
};

for (const [name, walk] of Object.entries(everything)) {
  if (only && name !== only) continue;
  const began = Date.now();
  await walk();
  console.log(`${name}: ${Math.round((Date.now() - began) / 1000)} s`);
}
await browser.close();
console.log(`kiosk page: ${visits} visits, ${looked} views without a finding of axe`);
