// @ts-check
/**
 * The swim as the phone knows it: what was noted at the peg, what was set by hand, and the feeds.
 * @typedef {{depth: number, speed: number, settles: number, fish: number, celsius: number}} Water
 *   metres, m/s, °C; `fish` down from the surface
 * @typedef {{depth: number, seconds: number[]}} Jar metres of water, and each drop
 * @typedef {{key: string, name: string, mm?: number}} Fed a feed of the plan; `mm` of a ball
 * @typedef {import("./reckon/placement.js").Placed & Fed & {guessed: boolean, drops: number,
 *   wide: number, far: boolean}} Landed `wide`: metres in which nine in ten lie
 */
import { flowOf } from "./float-runs.js";
import { placementOf, speedTimed } from "./reckon/placement.js";

/** From, to and step of what can be set. */
export const SET = /** @type {const} */ ({
  depth: [0.3, 8, 0.1],
  speed: [0.02, 1.5, 0.01],
  settles: [-5, 15, 0.1],
  fish: [0.2, 8, 0.1],
  celsius: [0, 30, 1],
});
/** Metres across the river or along it that a hand or pouch reaches well (from memory). */
const REACH_M = 12;
/** How far throws stray along the river, standard deviation (from memory). */
const THROW_SD_M = 0.25;
const NINE_IN_TEN = 2 * 1.645;
const EXPONENT = 6;
/** A firm ball with soil (from memory). */
const BALL_DENSITY = 1500;
/** Part by which single ones of a feed differ in sink speed when nobody timed them (from memory). */
const USUAL_SPREAD = 0.13;
/**
 * How feeds sink until somebody times theirs (from memory, no source), by a part of their name.
 * @type {[RegExp, {sink: number} | {shape: "sphere", diameter: number, density: number}][]}
 */
const SINKS = [
  [/hemp/i, { shape: "sphere", diameter: 0.0032, density: 1120 }],
  [/caster/i, { sink: 0.045 }],
  [/pinkie/i, { sink: 0.03 }],
  [/maggot/i, { sink: 0.04 }],
  [/worm/i, { sink: 0.035 }],
  [/pellet/i, { shape: "sphere", diameter: 0.004, density: 1200 }],
  [/corn|wheat/i, { shape: "sphere", diameter: 0.007, density: 1150 }],
];
const SINKS_ELSE = { sink: 0.04 };
/** What is neither thrown loose nor a feed of its own. */
const ONLY_IN_BALLS = new Set(["groundbait", "soil"]);

/**
 * The feeds of a plan: what goes in loose, and each size of ball. The usual three without a plan.
 * @param {any} pack @param {{name: string}[]} usual @param {(mm: number) => string} ballName
 * @returns {Fed[]}
 */
export function feedsOf(pack, usual, ballName) {
  const kinds = new Map(pack.baits?.map((/** @type {any} */ b) => [b.key, b.kind]));
  /** @type {Map<string, Fed>} */
  const found = new Map();
  for (const stage of pack.plan?.stages ?? []) {
    if (stage.balls) {
      const key = `ball-${stage.balls.mm}`;
      found.set(key, { key, name: ballName(stage.balls.mm), mm: stage.balls.mm });
      continue;
    }
    if (stage.kind === "hook") continue;
    for (const { bait, name } of stage.feeds) {
      if (!ONLY_IN_BALLS.has(kinds.get(bait))) found.set(bait, { key: bait, name });
    }
  }
  return found.size ? [...found.values()]
    : [{ key: "ball-80", name: ballName(80), mm: 80 },
      ...usual.map(({ name }) => ({ key: name.toLowerCase(), name }))];
}

/**
 * What the peg notes say, the latest of each; a speed is the mean of all float runs.
 * @param {any[]} bodies of peg notes, oldest first @returns {Partial<Water>}
 */
export function notedAt(bodies) {
  const last = (/** @type {string} */ key) => bodies.map((b) => b[key]).filter((v) => v != null).at(-1);
  const flow = flowOf(bodies.map((b) => b.float_run).filter(Boolean));
  const depth = last("depth_cm");
  const settles = last("rig_settles_cm");
  return {
    ...(depth ? { depth: depth / 100, fish: depth / 100 } : {}),
    ...(settles == null ? {} : { settles: settles / 100 }),
    ...(flow ? { speed: flow.mean / 1000 } : {}),
  };
}

/** To begin with, where nothing was noted. @type {Water} */
export const BEGIN = { depth: 2, speed: 0.3, settles: 2, fish: 2, celsius: 12 };

/**
 * Each value in its bounds, the fish no lower than the bed.
 * @param {Water} water @returns {Water}
 */
export function waterBound(water) {
  const bound = /** @type {Water} */ (Object.fromEntries(Object.entries(SET).map(
    ([key, [least, most]]) => {
      const value = water[/** @type {keyof Water} */ (key)];
      return [key, Math.min(most, Math.max(least, value))];
    })));
  return { ...bound, fish: Math.min(bound.fish, bound.depth) };
}

/**
 * The water after one value is set. Fish that were on the bed stay on it.
 * @param {Water} water @param {keyof Water} key @param {number} value @returns {Water}
 */
export function waterSet(water, key, value) {
  const onBed = key === "depth" && water.fish === water.depth;
  return waterBound({ ...water, [key]: value, ...(onBed ? { fish: value } : {}) });
}

/**
 * Where each feed goes in.
 * @param {Water} water @param {Fed[]} feeds @param {Record<string, Jar>} jars by feed
 * @returns {Landed[]}
 */
export function landedOf(water, feeds, jars) {
  const swim = { ...water, exponent: EXPONENT, fishDepth: water.fish };
  const sinking = feeds.map((fed) => ({ fed, ...sinksOf(fed, jars[fed.key]) }));
  const placed = placementOf(swim, water.settles, sinking.map(({ feed }) => feed));
  return placed.map((one, n) => {
    const { fed, spread, drops } = sinking[n];
    const sd = Math.hypot(one.drift * spread, THROW_SD_M);
    return {
      ...one, ...fed, guessed: !drops, drops, wide: NINE_IN_TEN * sd, far: -one.throwAt > REACH_M,
    };
  });
}

/** @param {Fed} fed @param {Jar | undefined} jar
 * @returns {{feed: import("./reckon/placement.js").Feed, spread: number, drops: number}} */
function sinksOf(fed, jar) {
  const { name } = fed;
  if (fed.mm) {
    const feed = { name, shape: /** @type {const} */ ("ball"), diameter: fed.mm / 1000, density: BALL_DENSITY };
    return { feed, spread: 0, drops: 0 };
  }
  if (jar?.seconds.length) {
    const { mean, sd } = speedTimed(jar.depth, jar.seconds);
    return { feed: { name, sink: mean }, spread: sd / mean, drops: jar.seconds.length };
  }
  const sinks = SINKS.find(([part]) => part.test(`${fed.key} ${name}`))?.[1] ?? SINKS_ELSE;
  return { feed: { name, ...sinks }, spread: USUAL_SPREAD, drops: 0 };
}
