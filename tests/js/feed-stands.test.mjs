// How the feeding stands against plan and bag, and what is due next.
import assert from "node:assert/strict";
import { test } from "node:test";
import { planButtons } from "../../web/bank/shell/feed.js";
import { feedDue, throwDue } from "../../web/bank/shell/feed-due.js";
import { bagLeft, part, partText, stageStands } from "../../web/bank/shell/feed-stands.js";
import { linesOf, stageOf } from "../../web/bank/shell/lines.js";

const CASTER = (amount, unit) => ({ bait: "caster", name: "Caster", amount, unit });
const HEMP = { bait: "hemp", name: "Hemp", amount: "1.5", unit: "pint" };
const PLAN = {
  stages: [
    { kind: "opening", line: "long", start_minute: -5, end_minute: 0, every_seconds: null, feeds: [HEMP] },
    { kind: "feed", line: "long", start_minute: 5, end_minute: 65, every_seconds: 600, feeds: [CASTER("0.25", "pint")] },
    { kind: "top_up", line: "long", start_minute: 150, end_minute: 150, every_seconds: null, feeds: [CASTER("0.5", "pint")] },
    { kind: "switch", line: "short", start_minute: 120, end_minute: 290, every_seconds: 300, feeds: [CASTER("1", "pouch")] },
    { kind: "hook", line: "long", start_minute: 0, end_minute: 300, every_seconds: null, feeds: [CASTER("0.1", "pint")] },
  ],
};
// A pouch of 28 ml in pints of 568.26125 ml (UK Weights and Measures Act 1985).
const PACK = {
  plan: PLAN,
  bag: [{ bait: "caster", name: "Caster", amount: "2.75", unit: "pint" }, { bait: "hemp", name: "Hemp", amount: "3.3", unit: "pint" }],
  feeding: {
    throws: [1, 6, 1, 34, 1], mixed: { hemp: "3/2" },
    measures: { caster: { pint: "1/1", pouch: "22400/454609" }, hemp: { pint: "1/1" } },
  },
};
const fed = (minute, amount = "0.25", unit = "pint", line = "long", bait = "caster") =>
  ({ bait, amount, unit, line, minute });

test("decimals and fractions are read exactly and said to the hundredth", () => {
  assert.deepEqual(part("0.25"), { n: 25n, d: 100n });
  assert.deepEqual(part("22400/454609"), { n: 22400n, d: 454609n });
  assert.equal(partText(part("1/3")), "0.33");
  assert.equal(partText(part("2/3")), "0.67");
  assert.equal(partText(part("2/3"), false), "0.66");
  assert.equal(partText(part("-1/3")), "0");
  assert.equal(partText(part("3/2")), "1.5");
});

test("a feed belongs to the stage that is on, else to the last begun, else to the first to come", () => {
  const of = (minute, line = "long", bait = "caster") => stageOf(PLAN, { bait, line, minute });
  assert.equal(of(10), 1);
  assert.equal(of(100), 1);
  assert.equal(of(151), 2);
  assert.equal(of(-3), 1);
  assert.equal(of(130, "short"), 3);
  assert.equal(of(10, "short"), 3);
  assert.equal(of(10, "long", "hemp"), 0);
  assert.equal(of(10, "bank"), null);
  assert.equal(stageOf(null, { bait: "caster", line: "", minute: 1 }), null);
});

test("a stage says what went in of what it plans, throws counted in its own unit", () => {
  assert.deepEqual(stageStands(PACK, [fed(5), fed(16), fed(28, "0.4")], 1), [
    { name: "Caster", unit: "pint", fed: "0.9", planned: "1.5", sure: true },
  ]);
  // 454609/22400 pouches are a pint, so half a pint is 10.15 of them.
  const short = [fed(121, "1", "pouch", "short"), fed(122, "0.5", "pint", "short")];
  assert.deepEqual(stageStands(PACK, short, 3), [
    { name: "Caster", unit: "pouch", fed: "11.15", planned: "34", sure: true },
  ]);
});

test("a unit that does not fit, or a package of before, is said to be unsure and not guessed", () => {
  assert.deepEqual(stageStands(PACK, [fed(5), fed(6, "100", "g")], 1), [
    { name: "Caster", unit: "pint", fed: "0.25", planned: "1.5", sure: false },
  ]);
  const [old] = stageStands({ plan: PLAN }, [fed(5), fed(7, "1", "pouch")], 1);
  assert.deepEqual(old, { name: "Caster", unit: "pint", fed: "0.25", planned: "0.25", sure: false });
});

test("what is left is the bag less what the mixes wet and what was noted, never below nothing", () => {
  assert.deepEqual(bagLeft(PACK, [fed(5), fed(121, "1", "pouch", "short")]), [
    // 2.75 - 0.25 - 0.04927… pints, rounded down: never more than there is.
    { name: "Caster", unit: "pint", left: "2.45", of: "2.75", over: false, sure: true },
    { name: "Hemp", unit: "pint", left: "1.8", of: "3.3", over: false, sure: true },
  ]);
  assert.deepEqual(bagLeft(PACK, [fed(5, "3"), fed(6, "1", "g")])[0], {
    name: "Caster", unit: "pint", left: "0", of: "2.75", over: true, sure: false,
  });
  assert.deepEqual(bagLeft({}, []), []);
});

test("what goes in once is due until it is noted or a quarter of an hour has gone", () => {
  const due = (minute, notes = []) => feedDue(PLAN, notes, minute);
  const hemp = fed(-4, "1.5", "pint", "long", "hemp");
  assert.deepEqual(due(-8), { stage: 0, bait: "hemp", name: "Hemp", line: "long", at: -5 });
  assert.equal(due(2).stage, 0);
  assert.deepEqual(due(-3, [hemp]), { stage: 1, bait: "caster", name: "Caster", line: "long", at: 5 });
  assert.equal(due(11).stage, 1);
});

test("a rhythm goes on from the last note of its bait and ends with its stage", () => {
  const hemp = fed(-4, "1.5", "pint", "long", "hemp");
  assert.equal(feedDue(PLAN, [hemp, fed(7)], 9).at, 17);
  assert.equal(feedDue(PLAN, [hemp, fed(40)], 54).at, 50);
  assert.equal(feedDue(PLAN, [hemp, fed(58)], 60).stage, 3);
  assert.equal(feedDue(PLAN, [], 299), null);
  assert.equal(feedDue(null, [], 0), null);
});

test("the lines are those of the plan and of the buttons made, each once", () => {
  assert.deepEqual(linesOf(PLAN, [{ line: "" }, { line: "margin" }, { line: "short" }]), ["long", "short", "margin"]);
  assert.deepEqual(linesOf(null, []), []);
});

test("before the first feed of a line the throw offered is the one due by the clock", () => {
  const offered = (line, minute, notes = []) => {
    const here = planButtons(PLAN).filter((b) => b.line === line);
    const { bait, amount, unit } = throwDue(here, PLAN, notes, minute);
    return [bait, amount, unit];
  };
  assert.deepEqual(offered("long", -8), ["hemp", "1.5", "pint"]);
  assert.deepEqual(offered("long", 30), ["caster", "0.25", "pint"]);
  assert.deepEqual(offered("long", 151), ["caster", "0.5", "pint"]);
  // What goes in on the other line is not this line's.
  assert.deepEqual(offered("long", 130), ["caster", "0.5", "pint"]);
  assert.deepEqual(offered("short", 30, [fed(5)]), ["caster", "1", "pouch"]);
  // Nothing is due any more: the first there is.
  assert.deepEqual(offered("long", 299), ["hemp", "1.5", "pint"]);
  assert.equal(throwDue([], PLAN, [], 0), null);
  const made = { bait: "hemp", name: "Hemp", amount: "2", unit: "cup", line: "", stage: null };
  assert.equal(throwDue([made], null, [], 0), made);
});
