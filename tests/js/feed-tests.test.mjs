import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { DROPS_MOST, dropOdd, testChosen, testFloats, testsCounting, testsKnown, testTimed }
  from "../../web/bank/shell/feed-tests.js";
import { bodySound } from "../../web/bank/shell/facts.js";
import { pegNoteBody } from "../../web/bank/shell/peg-notes.js";
import { throwKeyOf, throwsKept } from "../../web/bank/shell/throws.js";
import { jarWords } from "../../web/bank/shell/words-jar.js";

const cases = JSON.parse(readFileSync(new URL("../cases/feed_tests.json", import.meta.url), "utf8"));
const near = (value, wanted) => assert.ok(Math.abs(value - wanted) <= 1e-12 * Math.abs(wanted) + 1e-15, `${value}`);

for (const one of cases) {
  test(`jar tests: ${one.why}`, () => {
    const aside = new Set(one.aside.map(String));
    const tests = one.tests.map((t) => ({
      ...t, match: String(t.match), author: { id: String(t.author), name: "" },
      aside: aside.has(String([t.match, t.author])),
    }));
    for (const order of [tests, tests.slice().reverse()]) {
      const chosen = testChosen(order, String(one.own));
      assert.deepEqual(chosen && [chosen.match, chosen.author.id].map(Number), one.chosen);
      assert.equal(Boolean(chosen && testFloats(chosen)), one.floats);
      const timed = chosen && testTimed(chosen);
      if (one.mean === null) assert.equal(timed, null);
      else {
        near(timed.mean, one.mean);
        near(timed.sd, one.sd);
      }
    }
  });
}

test("nonsense of the watch and the ruler has a name, and a drop as it should be has none", () => {
  for (const [jarCm, ms, odd] of [
    [30, 0, "quick"], [30, -5, "quick"], [30, NaN, "quick"], [30, 199, "quick"], [30, 600_001, "long"],
    [0, 6000, "jar"], [-30, 6000, "jar"], [29.5, 6000, "jar"], [201, 6000, "jar"], [200, 200, "speed"],
    [5, 500_000, "speed"], [30, 6000, null],
  ]) assert.equal(dropOdd(jarCm, ms), odd, `${jarCm} cm ${ms} ms`);
});

test("of a thousand drops the last hundred count", () => {
  const drops = [...Array(900).fill([30, 3000]), ...Array(DROPS_MOST).fill([30, 6000])];
  near(testTimed({ drops }).mean, 0.05);
});

const ME = { id: "7", name: "Wilmot Crane" };
const PACK = { match: { id: "12", date: "2026-06-20" }, mates: ["7", "8"], feed_tests: [] };
const known = (kind, seq, author, body) => ({
  fact: { id: `${kind}${seq}`, kind, seq, cseq: seq, supersedes: null, body }, own: null, author: { id: author, name: "Maud" },
});

test("a mate's drops count with one's own phone's, another team's that were carried here do not", () => {
  const drop = { bait: "caster", jar_cm: 30, ms: 6000 };
  const facts = [known("feed_test", 1, "8", drop), known("feed_test", 2, "9", drop), known("feed_test", 3, "8", { ...drop, ms: 0 })];
  const tests = testsKnown(PACK, facts, ME);
  assert.deepEqual(tests.map((t) => [t.author.id, t.drops, t.date]), [["8", [[30, 6000]], "2026-06-20"]]);
});

test("what was said last decides whether a test is left aside", () => {
  const before = { bait: "caster", match: "3", date: "2026-05-02", author: { id: "8", name: "Maud" }, drops: [[30, 6000]], aside: true };
  const of = { match: "3", author: "8" };
  const said = (...bodies) => testsCounting(testsKnown({ ...PACK, feed_tests: [before] },
    bodies.map((body, n) => known("feed_test", n + 1, "7", { bait: "caster", ...body })), ME), "7").size;
  assert.deepEqual([said(), said({ again: of }), said({ again: of }, { aside: of })], [0, 1, 0]);
});

test("the throw kept last of each feed stands, and goes with the balls it is loaded into", () => {
  const facts = [
    known("feed_throw", 1, "7", { bait: "caster", upstream_cm: 640 }),
    known("feed_throw", 3, "7", { bait: "caster", upstream_cm: 500, out_cm: 1200 }),
    known("feed_throw", 2, "7", { ball_mm: 80, upstream_cm: -60 }),
    known("feed_throw", 4, "8", { bait: "caster", upstream_cm: 1 }),
  ];
  const kept = throwsKept(facts, ME);
  assert.deepEqual([kept.get("caster").upstream_cm, kept.get("ball-80").upstream_cm, kept.size], [500, -60, 2]);
  const plan = { stages: [{ balls: { mm: 80 } }, { balls: null }] };
  assert.deepEqual([0, 1, null].map((stage) => throwKeyOf(plan, { bait: "caster", stage })), ["ball-80", "caster", "caster"]);
});

test("a body edited by hand or erased is not read", () => {
  for (const [kind, body] of [
    ["feed_test", {}], ["feed_test", { bait: "caster", ms: "6" }], ["feed_test", { bait: "caster", aside: { match: 3 } }],
    ["feed_throw", {}], ["feed_throw", { bait: "caster", upstream_cm: "6" }], ["peg_note", { celsius_tenths: "cold" }],
  ]) assert.equal(bodySound({ kind, body }), false, JSON.stringify(body));
});

test("the water's warmth is typed in degrees and kept in tenths", () => {
  const typed = { depth: "", distance: "", seconds: "", settles: "", note: "" };
  for (const [celsius, tenths] of [["9.4", 94], ["9,4", 94], ["0", 0], ["30", 300]]) {
    assert.equal(pegNoteBody({ ...typed, celsius }).celsius_tenths, tenths);
  }
  for (const celsius of ["-1", "31", "9.44", "cold"]) assert.equal(pegNoteBody({ ...typed, celsius }), null, celsius);
});

test("a throw is said the same on the phone as on paper", () => {
  const said = jarWords.throwLong({ upstream_cm: 640, out_cm: 1200, rod_cm: 390 });
  assert.equal(said, "6.4 m upstream, 12.0 m out (1¾ and 3 rods)");
  assert.equal(jarWords.throwLong({ upstream_cm: -60 }), "0.6 m downstream");
});
