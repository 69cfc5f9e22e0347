import assert from "node:assert/strict";
import { test } from "node:test";
import { AROUND, BEGIN, feedsOf, notedAt, speedSpreadOf, standTyped, swimReckoned, waterBound, waterOdd, waterSet }
  from "../../web/bank/shell/swim.js";
import { swimWork } from "../../web/bank/shell/swim-work.js";

const landedOf = (water, feeds, timed, around = AROUND) => swimReckoned(water, feeds, timed, around).landed;
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

test("what was timed in a jar is believed before what is from memory, its spread from three drops on", () => {
  const [guess] = landedOf(BEGIN, [CASTER], {});
  const timed = (drops) => landedOf(BEGIN, [CASTER], { caster: { mean: 0.1, sd: 0, drops } })[0];
  assert.equal(guess.guessed, true);
  assert.deepEqual([timed(3).guessed, timed(3).drops, timed(3).sinkSpeed], [false, 3, 0.1]);
  assert.ok(timed(3).wide < timed(2).wide && timed(2).wide < guess.wide);
});

test("a feed that is carried past the swim is told, and a longer swim takes it", () => {
  const deep = { ...BEGIN, depth: 4, fish: 4, speed: 0.8 };
  const fars = (around) => landedOf(deep, [BALL, CASTER], {}, around).map((feed) => feed.far);
  assert.deepEqual(fars(AROUND), [false, true]);
  assert.deepEqual(fars({ ...AROUND, stand: { ...AROUND.stand, long: 100 } }), [false, false]);
});

test("wind down the river moves throws up it, wind up the river down", () => {
  const at = (way) => landedOf(BEGIN, [CASTER], {}, { ...AROUND, wind: { way, speed: 5 } })[0].throwAt;
  assert.ok(at("down") < at("none") && at("none") < at("up"));
});

test("fish above the bed are passed beside the rig, and the feed lies further down", () => {
  const [bed] = landedOf(BEGIN, [CASTER], {});
  const [up] = landedOf({ ...BEGIN, fish: 1 }, [CASTER], {});
  assert.equal(bed.onward, 0);
  assert.ok(Math.abs(up.drift + up.onward - bed.drift) < 1e-9 && up.onward > 0);
  assert.ok(up.throwAt > bed.throwAt);
});

test("throws stray with their length, and float runs that differ widen what lies", () => {
  const wide = (around) => landedOf(BEGIN, [BALL], {}, around)[0].wide;
  const far = { ...AROUND, stand: { ...AROUND.stand, line: 30 } };
  assert.ok(wide(far) > 2 * wide(AROUND));
  assert.ok(wide({ ...AROUND, speedSpread: 0.5 }) > wide({ ...AROUND, speedSpread: 0 }));
});

test("two float runs say how far apart they are, one says nothing", () => {
  const run = (ms) => ({ float_run: { distance_cm: 500, ms } });
  assert.equal(speedSpreadOf([run(10_000), { float_run: null }]), null);
  assert.ok(Math.abs(speedSpreadOf([run(10_000), run(20_000)]) - 0.25 / Math.SQRT2 / 0.375) < 1e-9);
});

test("typed metres are read, and what is none is refused", () => {
  assert.deepEqual(["9", " 9,5", "13.75"].map((text) => standTyped("line", text)), [9, 9.5, 13.75]);
  for (const text of ["", "0", "-3", "61", "1e3", "NaN", "nine", "9..5"]) {
    assert.equal(standTyped("line", text), null, text);
  }
});

test("notes that no swim has are told, and are no number are not reckoned with", () => {
  assert.deepEqual(waterOdd({ depth: 99, speed: 0.3, fish: 99 }), ["depth"]);
  assert.deepEqual(waterOdd(notedAt([])), []);
  assert.deepEqual(waterBound({ ...BEGIN, depth: NaN, celsius: Infinity }), BEGIN);
});

test("the work beside goes on in short steps and finds what the throws say", () => {
  const { asked, landed } = swimReckoned(BEGIN, [BALL, HEMP, CASTER], {}, AROUND);
  const work = swimWork(asked, { chosen: null, long: 12, rise: 0.2 });
  let [step, steps] = [work.next(), 1];
  for (; !step.done; steps++) step = work.next();
  const { tight, table, risen } = step.value;
  assert.ok(steps > 30, "no step does much");
  assert.deepEqual([tight.chosen, tight.wide], ["Caster", landed[2].wide], "the widest, as it is shown");
  const widths = tight.ways.map((way) => way.wide);
  assert.deepEqual(widths, [...widths].sort((a, b) => a - b));
  assert.equal(tight.ways[0].way, "balls", "common practice, no source");
  const now = table.cells.find((cell) => cell.speed === BEGIN.speed && cell.depth === BEGIN.depth);
  assert.equal(now.loose, landed[2].drift);
  assert.deepEqual([table.loose, table.cells.length], ["Caster", table.speeds.length * table.depths.length]);
  for (const cell of table.cells) assert.equal(cell.use === "loose", cell.loose <= 12);
  assert.deepEqual(risen.feeds.map((feed) => feed.before), landed.map((feed) => feed.throwAt));
  assert.ok(risen.depth === 2.2 && risen.feeds.every((feed) => feed.after < feed.before));
});

test("with balls alone there is nothing loose to compare, and their landing is worked out", () => {
  const work = swimWork(swimReckoned(BEGIN, [BALL], {}, AROUND).asked, { chosen: "gone", long: 12, rise: -0.3 });
  let step = work.next();
  while (!step.done) step = work.next();
  assert.equal(step.value.tight.chosen, BALL.name);
  assert.deepEqual(step.value.table.cells, []);
});
