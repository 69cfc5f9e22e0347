// @ts-check
/**
 * Where each feed must go in so that it lands where the rig settles. The same figures as
 * bait/reckon/placement, held to the same table of cases.
 * @typedef {import("./flow.js").Swim} Swim
 * @typedef {import("./fall.js").Grain} Grain
 * @typedef {{name: string, sink: number} | ({name: string, shape: "sphere" | "grain" | "ball"} & Grain)} Feed
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
    const sinkSpeed = sinkSpeedOf(feed, water);
    const fallen = "shape" in feed && feed.shape === "ball"
      ? ballFall(feed, swim, water) : evenFall(swim, sinkSpeed);
    return { name: feed.name, sinkSpeed, ...fallen, throwAt: rigSettles - fallen.drift };
  });
}

/** @param {Feed} feed @param {import("./water.js").Water} water */
export function sinkSpeedOf(feed, water) {
  if (!("shape" in feed)) return feed.sink;
  return feed.shape === "grain" ? grainSpeed(feed, water) : sphereSpeed(feed, water);
}

/** @param {Swim} swim @param {number} sink */
function evenFall(swim, sink) {
  const path = Array.from({ length: POINTS + 1 }, (_, n) => {
    const down = (swim.fishDepth * n) / POINTS;
    return /** @type {[number, number]} */ ([drift(swim, sink, down), down]);
  });
  return { seconds: swim.fishDepth / sink, drift: drift(swim, sink, swim.fishDepth), path };
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
