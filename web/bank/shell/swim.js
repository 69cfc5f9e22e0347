// @ts-check
/**
 * The swim as the phone knows it: what was noted at the peg, what was set by hand, and the feeds.
 * @typedef {{depth: number, speed: number, settles: number, fish: number, celsius: number}} Water
 *   metres, m/s, °C; `fish` down from the surface
 * @typedef {import("./feed-tests.js").Timed} Timed
 * @typedef {{key: string, name: string, mm?: number}} Fed a feed of the plan; `mm` of a ball
 * @typedef {import("./reckon/rods.js").Angler & {long: number}} Stand where the angler stands, and
 *   how long the swim is, in metres
 * @typedef {{way: "none" | "up" | "down", speed: number}} Wind along the river, in m/s
 * @typedef {{stand: Stand, wind: Wind, speedSpread: number | null}} Around what was said beside the
 *   water; by what part float runs differ
 * @typedef {import("./reckon/placement.js").Placed & Fed & {guessed: boolean, drops: number,
 *   lands: import("./reckon/landing.js").Landing, point: import("./reckon/rods.js").ThrowPoint,
 *   wide: number, broad: number, far: boolean, onward: number}} Landed `wide`, and `broad` across the
 *   river: metres in which nine in ten lie; `far`: carried past the swim; `onward`: metres from the
 *   fish to where it lies on the bed
 */
import { FULL_DROPS } from "./feed-tests.js";
import { flowOf, speedOf } from "./float-runs.js";
import { landingOf, PARTICLES } from "./reckon/landing.js";
import { placementOf, sinkSpeedOf, speedTimed, sunkOf } from "./reckon/placement.js";
import { throwPoint } from "./reckon/rods.js";
import { waterAt } from "./reckon/water.js";

/** From, to and step of what can be set. */
export const SET = /** @type {const} */ ({
  depth: [0.3, 8, 0.1],
  speed: [0.02, 1.5, 0.01],
  settles: [-5, 15, 0.1],
  fish: [0.2, 8, 0.1],
  celsius: [0, 30, 1],
});
/** From and to of what is typed about the angler, in metres. */
export const STAND = /** @type {const} */ ({ line: [0.5, 60], rod: [1, 20], long: [1, 100] });
/** The part of their length by which throws stray, standard deviation (from memory). */
const THROW_SPREAD = 0.025;
const NINE_IN_TEN = 2 * 1.645;
/** By what part depth and flow differ from spot to spot where nobody measured it (from memory). */
const DEPTH_SPREAD = 0.05;
const SPEED_SPREAD = 0.1;
const EXPONENT = 6;
/** A firm ball with soil (from memory). */
const BALL_DENSITY = 1500;
/** Part by which single ones of a feed differ in sink speed when nobody timed them (from memory). */
const USUAL_SPREAD = 0.13;
const USUAL_CELSIUS = 12;
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
  const tenths = last("celsius_tenths");
  return {
    ...(depth ? { depth: depth / 100, fish: depth / 100 } : {}),
    ...(settles == null ? {} : { settles: settles / 100 }),
    ...(flow ? { speed: flow.mean / 1000 } : {}),
    ...(tenths === undefined ? {} : { celsius: tenths / 10 }),
  };
}

/** By what part the float runs differ, or null of fewer than two. @param {any[]} bodies */
export function speedSpreadOf(bodies) {
  const speeds = bodies.map((b) => b.float_run).filter(Boolean).map(speedOf);
  if (speeds.length < 2) return null;
  const { mean, sd } = speedTimed(1, speeds.map((speed) => 1 / speed));
  return sd / mean;
}

/** To begin with, where nothing was noted. @type {Water} */
export const BEGIN = { depth: 2, speed: 0.3, settles: 2, fish: 2, celsius: 12 };
/** A rod of thirteen feet, a line a little over two of it out (common practice, no source).
 * @type {Around} */
export const AROUND = {
  stand: { line: 9, rod: 4, flowsTo: "right", long: 12 },
  wind: { way: "none", speed: 4 },
  speedSpread: null,
};

/**
 * Each value in its bounds, the fish no lower than the bed; what is no number as to begin with.
 * @param {Water} water @returns {Water}
 */
export function waterBound(water) {
  const bound = /** @type {Water} */ (Object.fromEntries(Object.entries(SET).map(
    ([name, [least, most]]) => {
      const key = /** @type {keyof Water} */ (name);
      const value = Number.isFinite(water[key]) ? water[key] : BEGIN[key];
      return [key, Math.min(most, Math.max(least, value))];
    })));
  return { ...bound, fish: Math.min(bound.fish, bound.depth) };
}

/**
 * What was typed as metres, or null where it is no number in those bounds.
 * @param {keyof typeof STAND} key @param {string} text @returns {number | null}
 */
export function standTyped(key, text) {
  const [least, most] = STAND[key];
  const value = /^\d{1,3}([.,]\d{1,2})?$/.test(text.trim()) ? Number(text.trim().replace(",", ".")) : NaN;
  return value >= least && value <= most ? value : null;
}

/** What was noted and cannot be reckoned with as it stands. @param {Partial<Water>} noted
 * @returns {(keyof Water)[]} */
export function waterOdd(noted) {
  return /** @type {(keyof Water)[]} */ (Object.keys(SET)).filter((key) => {
    const value = noted[key];
    const [least, most] = SET[key];
    return value !== undefined && key !== "fish" && !(value >= least && value <= most);
  });
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
 * The question as the calculator takes it, and where each feed goes in. Throws stray with their
 * length. How wide feed lies is told `roughly` under a finger.
 * @param {Water} water @param {Fed[]} feeds @param {Record<string, Timed>} timed by feed
 * @param {Around} around @param {boolean} [roughly] @returns {{asked: import("./reckon/tighten.js").Asked, landed: Landed[]}}
 */
export function swimReckoned(water, feeds, timed, around, roughly = false) {
  const { stand } = around;
  const many = roughly ? PARTICLES / 4 : PARTICLES;
  const swim = swimOf(water, around);
  const sinking = feeds.map((fed) => sinksOf(fed, timed[fed.key]));
  const placed = placementOf(swim, water.settles, sinking);
  const thrown = sinking.map((feed, n) =>
    ({ ...feed, throwSd: THROW_SPREAD * Math.hypot(placed[n].throwAt, stand.line) }));
  const landed = placed.map((one, n) => {
    const drops = timed[feeds[n].key]?.drops ?? 0;
    const lands = landingOf(thrown[n], swim, water.settles, { sunk: one, many });
    return {
      ...one, ...feeds[n], guessed: !drops, drops, lands, wide: lands.p95 - lands.p5,
      broad: NINE_IN_TEN * thrown[n].throwSd, point: throwPoint(one.throwAt, stand),
      far: one.drift > stand.long, onward: onwardOf(thrown[n], swim, one.drift),
    };
  });
  return { asked: { swim, settles: water.settles, angler: stand, feeds: thrown }, landed };
}

/** @param {Water} water @param {Around} around @returns {import("./reckon/flow.js").Swim} */
function swimOf({ depth, speed, celsius, fish }, { wind, speedSpread }) {
  const along = { none: 0, up: -wind.speed, down: wind.speed }[wind.way];
  return {
    depth, speed, celsius, fishDepth: fish, exponent: EXPONENT, wind: along,
    depthSd: depth * DEPTH_SPREAD, speedSd: speed * (speedSpread ?? SPEED_SPREAD),
  };
}

/** Metres from the fish to the bed. @param {import("./reckon/placement.js").Feed} feed
 * @param {import("./reckon/flow.js").Swim} swim @param {number} drift */
function onwardOf(feed, swim, drift) {
  if (swim.fishDepth === swim.depth) return 0;
  return sunkOf(feed, { ...swim, fishDepth: swim.depth }, waterAt(swim.celsius)).drift - drift;
}

/** How it sinks; a few drops in a jar do not say how far single ones stray. @param {Fed} fed
 * @param {Timed | undefined} timed @returns {import("./reckon/placement.js").Feed} */
function sinksOf(fed, timed) {
  const { name } = fed;
  if (fed.mm) return { name, shape: "ball", diameter: fed.mm / 1000, density: BALL_DENSITY };
  if (timed) {
    const { mean, sd, drops } = timed;
    return { name, sink: mean, sinkSd: drops >= FULL_DROPS ? sd : mean * USUAL_SPREAD };
  }
  const sinks = SINKS.find(([part]) => part.test(`${fed.key} ${name}`))?.[1] ?? SINKS_ELSE;
  const speed = sinkSpeedOf({ name, ...sinks }, waterAt(USUAL_CELSIUS));
  return { name, ...sinks, sinkSd: speed * USUAL_SPREAD };
}
