import assert from "node:assert/strict";
import { test } from "node:test";
import { BEGIN, feedsOf, landedOf, notedAt, waterBound, waterSet } from "../../web/bank/shell/swim.js";

const USUAL = [{ name: "Hemp" }, { name: "Caster" }];
const balls = (mm) => `Balls of ${mm} mm`;
const BAITS = [
  { key: "caster", kind: "animal" }, { key: "hemp", kind: "particle" },
  { key: "soil", kind: "soil" }, { key: "base", kind: "groundbait" },
];
const HEMP = { key: "hemp", name: "Hemp" };
const CASTER = { key: "caster", name: "Caster" };
const BALL = { key: "ball-80", name: "Balls of 80 mm", mm: 80 };

test("a plan's loose feeds and each size of ball are its feeds, once each", () => {
  const stages = [
    { kind: "opening", balls: { mm: 80, count: 6 }, feeds: [{ bait: "hemp", name: "Hemp" }] },
    { kind: "feed", balls: null, feeds: [{ bait: "caster", name: "Caster" }, { bait: "soil", name: "Soil" }] },
    { kind: "feed", balls: null, feeds: [{ bait: "caster", name: "Caster" }] },
    { kind: "top_up", balls: { mm: 80, count: 2 }, feeds: [] },
    { kind: "hook", balls: null, feeds: [{ bait: "worm", name: "Worm" }] },
  ];
  assert.deepEqual(feedsOf({ baits: BAITS, plan: { stages } }, USUAL, balls), [BALL, CASTER]);
});

test("without a plan the usual feeds and a ball are shown", () => {
  assert.deepEqual(feedsOf({}, USUAL, balls).map((fed) => fed.key), ["ball-80", "hemp", "caster"]);
});

test("the latest depth counts, and every float run", () => {
  const bodies = [
    { depth_cm: 210, float_run: { distance_cm: 500, ms: 10_000 }, rig_settles_cm: null },
    { depth_cm: 240, float_run: { distance_cm: 500, ms: 20_000 }, rig_settles_cm: -50 },
    { depth_cm: null, float_run: null, rig_settles_cm: null },
  ];
  assert.deepEqual(notedAt(bodies), { depth: 2.4, fish: 2.4, settles: -0.5, speed: 0.375 });
  assert.deepEqual(notedAt([]), {});
});

test("fish on the bed stay on it when the depth changes, fish above it stay where they are", () => {
  assert.equal(waterSet(BEGIN, "depth", 3).fish, 3);
  const up = waterSet(BEGIN, "fish", 0.8);
  assert.equal(waterSet(up, "depth", 3).fish, 0.8);
  assert.equal(waterSet(up, "depth", 0.5).fish, 0.5);
});

test("whatever was noted, the water is one that can be reckoned with", () => {
  const wild = waterBound({ depth: 50, speed: 0, settles: -99, fish: 60, celsius: 90 });
  assert.deepEqual(wild, { depth: 8, speed: 0.02, settles: -5, fish: 8, celsius: 30 });
});

test("heavier feed goes in closer, and a quicker river moves all further up", () => {
  const throws = (water) => landedOf(water, [BALL, HEMP, CASTER], {}).map((feed) => feed.throwAt);
  const [ball, hemp, caster] = throws(BEGIN);
  assert.ok(ball > hemp && hemp > caster, "common practice, no source");
  throws({ ...BEGIN, speed: 0.6 }).forEach((quick, n) => assert.ok(quick < [ball, hemp, caster][n]));
});

test("what was timed in a jar is believed before what is from memory", () => {
  const [guess] = landedOf(BEGIN, [CASTER], {});
  const [timed] = landedOf(BEGIN, [CASTER], { caster: { depth: 0.4, seconds: [4, 4] } });
  assert.equal(guess.guessed, true);
  assert.deepEqual([timed.guessed, timed.drops, timed.sinkSpeed], [false, 2, 0.1]);
  assert.ok(timed.wide < guess.wide, "two drops alike spread no more than the throws do");
});

test("a throw that no hand reaches well is told", () => {
  assert.deepEqual(
    landedOf({ ...BEGIN, depth: 4, fish: 4, speed: 0.8 }, [BALL, CASTER], {}).map((feed) => feed.far),
    [false, true],
  );
});
