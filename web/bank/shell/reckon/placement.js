// @ts-check
/**
 * Where each feed must go in so that it lands where the rig settles. The same figures as
 * bait/reckon/placement, held to the same table of cases.
 * @typedef {import("./flow.js").Swim} Swim
 * @typedef {import("./fall.js").Grain} Grain
 * @typedef {{name: string, sinkSd?: number, throwSd?: number}
 *   & ({sink: number} | ({shape: "sphere" | "grain" | "ball"} & Grain))} Feed `…Sd`: how far single
 *   ones stray, in m/s and in metres
 * @typedef {{name: string, sinkSpeed: number, seconds: number, drift: number, throwAt: number,
 *   path: [along: number, down: number][]}} Placed m/s, s, metres downstream of the rig's entry;
 *   the path begins where it goes in
 */
import { ballFall } from "./ball.js";
import { grainSpeed, sphereSpeed } from "./fall.js";
import { drift } from "./flow.js";
import { waterAt } from "./water.js";

const POINTS = 24;

/**
 * Expects what the swim's screen lets through: every feed sinks.
 * @param {Swim} swim @param {number} rigSettles @param {Feed[]} feeds @returns {Placed[]}
 */
export function placementOf(swim, rigSettles, feeds) {
  const water = waterAt(swim.celsius);
  return feeds.map((feed) => {
    const sunk = sunkOf(feed, swim, water);
    const path = sunk.path ?? evenPath(swim, sunk.sinkSpeed);
    return { name: feed.name, ...sunk, path, throwAt: rigSettles - sunk.drift };
  });
}

/** How one feed sinks to the fish's depth; a ball's way there comes along.
 * @param {Feed} feed @param {Swim} swim @param {import("./water.js").Water} water
 * @returns {{sinkSpeed: number, seconds: number, drift: number, path?: Placed["path"]}} */
export function sunkOf(feed, swim, water) {
  const sinkSpeed = sinkSpeedOf(feed, water);
  if ("shape" in feed && feed.shape === "ball") return { sinkSpeed, ...ballFall(feed, swim, water) };
  return {
    sinkSpeed, seconds: swim.fishDepth / sinkSpeed, drift: drift(swim, sinkSpeed, swim.fishDepth),
  };
}

/**
 * How fast it sinks, in m/s: as measured, else by its shape.
 * @param {Feed} feed @param {import("./water.js").Water} water
 */
export function sinkSpeedOf(feed, water) {
  if (!("shape" in feed)) return feed.sink;
  return feed.shape === "grain" ? grainSpeed(feed, water) : sphereSpeed(feed, water);
}

/** @param {Swim} swim @param {number} sink @returns {Placed["path"]} */
function evenPath(swim, sink) {
  return Array.from({ length: POINTS + 1 }, (_, n) => {
    const down = (swim.fishDepth * n) / POINTS;
    return [drift(swim, sink, down), down];
  });
}

/**
 * The speed of what took these seconds for the same way, and how far single tries stray from it.
 * @param {number} metres @param {number[]} seconds @returns {{mean: number, sd: number}}
 */
export function speedTimed(metres, seconds) {
  const speeds = seconds.map((each) => metres / each);
  const mean = speeds.reduce((sum, speed) => sum + speed, 0) / speeds.length;
  const squares = speeds.reduce((sum, speed) => sum + (speed - mean) ** 2, 0);
  return { mean, sd: speeds.length > 1 ? Math.sqrt(squares / (speeds.length - 1)) : 0 };
}
