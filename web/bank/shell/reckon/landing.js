// @ts-check
/**
 * How wide a feed lies, as bait/reckon/placement/scatter.py has it, from an even sample instead of
 * chance: the points of J. H. Halton, Numerische Mathematik 2 (1960) 84, in four dimensions, made
 * normal by M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions (1964), 26.2.23 (both
 * from memory). So few lie closer to the law than as many by chance, and the same question has the
 * same answer.
 * @typedef {import("./flow.js").Swim} Swim
 * @typedef {import("./placement.js").Feed} Feed
 * @typedef {{mean: number, sd: number, p5: number, p10: number, p90: number, p95: number,
 *   near: number}} Landing metres downstream of the rig's entry; the part within half a metre of
 *   where the rig settles
 */
import { ballFall } from "./ball.js";
import { sunkOf } from "./placement.js";
import { waterAt } from "./water.js";
import { drift } from "./flow.js";

export const PARTICLES = 2_000;
const NEAR_M = 0.5;
const NUDGE = 1e-3;
/** @type {Float64Array[] | null} normal numbers for depth, speed, sink speed and throw */
let sample = null;

/** `sunk` is how the feed sinks as meant, where that was worked out already; `many` how much of the
 * sample is let fall. @param {Feed} feed @param {Swim} swim @param {number} settles
 * @param {{sunk?: {sinkSpeed: number, drift: number}, many?: number}} [known] @returns {Landing} */
export function landingOf(feed, swim, settles, { sunk, many = PARTICLES } = {}) {
  const { sinkSpeed, drift: meant } = sunk ?? sunkOf(feed, swim, waterAt(swim.celsius));
  const astray = new Float64Array(many);
  if ("shape" in feed && feed.shape === "ball") ballsStray(astray, feed, swim, meant);
  else looseStray(astray, swim, sinkSpeed, feed.sinkSd, meant);
  const throws = sampled()[3];
  const { throwSd = 0 } = feed;
  for (let n = 0; n < astray.length; n++) astray[n] += throwSd * throws[n];
  return summed(astray, settles);
}

/** How much further each of a loose feed drifts than is meant. @param {Float64Array} astray
 * @param {Swim} swim @param {number} sinkSpeed @param {number | undefined} sinkSd
 * @param {number} meant */
function looseStray(astray, swim, sinkSpeed, sinkSd, meant) {
  const [depths, speeds, sinks] = sampled();
  const depthOf = positive(swim.depth, swim.depthSd);
  const speedOf = positive(swim.speed, swim.speedSd);
  const sinkOf = positive(sinkSpeed, sinkSd);
  const onBed = swim.fishDepth === swim.depth;
  const there = { ...swim };
  for (let n = 0; n < astray.length; n++) {
    there.depth = depthOf(depths[n]);
    there.speed = speedOf(speeds[n]);
    const fall = onBed ? there.depth : Math.min(swim.fishDepth, there.depth);
    astray[n] = drift(there, sinkOf(sinks[n]), fall) - meant;
  }
}

/** A ball's drift grows evenly with depth and speed, as near as they are known.
 * @param {Float64Array} astray @param {import("./fall.js").Grain} ball @param {Swim} swim
 * @param {number} meant */
function ballsStray(astray, ball, swim, meant) {
  const water = waterAt(swim.celsius);
  const slope = (/** @type {"depth" | "speed"} */ name) => {
    const more = swim[name] * NUDGE;
    const nudged = { ...swim, [name]: swim[name] + more };
    if (swim.fishDepth === swim.depth) nudged.fishDepth = nudged.depth;
    return (ballFall(ball, nudged, water).drift - meant) / more;
  };
  const byDepth = swim.depthSd ? slope("depth") : 0;
  const bySpeed = swim.speedSd ? slope("speed") : 0;
  const [depths, speeds] = sampled();
  const depthOf = positive(swim.depth, swim.depthSd);
  const speedOf = positive(swim.speed, swim.speedSd);
  for (let n = 0; n < astray.length; n++) {
    astray[n] = byDepth * (depthOf(depths[n]) - swim.depth)
      + bySpeed * (speedOf(speeds[n]) - swim.speed);
  }
}

/** Lognormal of that mean and standard deviation, from a normal number.
 * @param {number} mean @param {number} [sd] @returns {(z: number) => number} */
function positive(mean, sd = 0) {
  if (!sd) return () => mean;
  const spread = Math.log1p((sd / mean) ** 2);
  const [middle, wide] = [Math.log(mean) - spread / 2, Math.sqrt(spread)];
  return (z) => Math.exp(middle + wide * z);
}

/** @param {Float64Array} astray @param {number} settles @returns {Landing} */
function summed(astray, settles) {
  let [sum, near] = [0, 0];
  for (const each of astray) {
    sum += each;
    if (Math.abs(each) <= NEAR_M) near += 1;
  }
  const many = astray.length;
  const mean = sum / many;
  let square = 0;
  for (const each of astray) square += (each - mean) ** 2;
  astray.sort();
  const [p5, p10, p90, p95] = [0.05, 0.1, 0.9, 0.95].map((part) => settles + partOf(astray, part));
  return {
    mean: settles + mean, sd: Math.sqrt(square / many), p5, p10, p90, p95,
    near: near / many,
  };
}

/** Between the two nearest of sorted numbers. @param {Float64Array} sorted @param {number} part */
function partOf(sorted, part) {
  const at = part * (sorted.length - 1);
  const low = Math.floor(at);
  const high = Math.min(low + 1, sorted.length - 1);
  return sorted[low] + (at - low) * (sorted[high] - sorted[low]);
}

function sampled() {
  sample ??= [7, 5, 2, 3].map((base) =>
    Float64Array.from({ length: PARTICLES }, (_, n) => normalOf(halton(n + 1, base))));
  return sample;
}

/** The normal number below which so large a part lies; within 0.00045. @param {number} part */
function normalOf(part) {
  const t = Math.sqrt(-2 * Math.log(Math.min(part, 1 - part)));
  const z = t - (2.515517 + t * (0.802853 + t * 0.010328))
    / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
  return part < 0.5 ? -z : z;
}

/** The digits of n behind the point, last first. @param {number} n @param {number} base */
function halton(n, base) {
  let value = 0;
  for (let part = 1 / base, left = n; left; part /= base, left = Math.floor(left / base)) {
    value += part * (left % base);
  }
  return value;
}
