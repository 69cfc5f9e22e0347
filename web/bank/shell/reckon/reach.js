// @ts-check
/**
 * Up to what flow a feed reaches the fish within the swim, and when balls do what loose cannot.
 * The same as bait/reckon/placement/reach.py.
 * @typedef {import("./flow.js").Swim} Swim
 * @typedef {import("./placement.js").Feed} Feed
 * @typedef {{speed: number, depth: number, loose: number, balls: number,
 *   use: "loose" | "balls" | "neither"}} Compared metres carried, and which to use
 */
import { sunkOf } from "./placement.js";
import { swimAt } from "./rise.js";
import { waterAt } from "./water.js";

const FASTEST = 5;
const NEAR_M = 1e-9;
const TRIES = 100;

/**
 * The speed above which the feed is carried past `swimLong` metres before it is at the fish; null
 * where no river does that, 0 where the wind alone does. Found by false position (Illinois).
 * @param {Feed} feed @param {Swim} swim @param {number} swimLong @returns {number | null}
 */
export function reachSpeed(feed, swim, swimLong) {
  const water = waterAt(swim.celsius);
  const beyond = (/** @type {number} */ speed) =>
    sunkOf(feed, { ...swim, speed }, water).drift - swimLong;
  let low = 0;
  let high = FASTEST;
  let short = beyond(low);
  let long = beyond(high);
  if (long <= 0) return null;
  if (short >= 0) return 0;
  let middle = high;
  for (let n = 0; n < TRIES; n++) {
    middle = (low * long - high * short) / (long - short);
    const at = beyond(middle);
    if (Math.abs(at) <= NEAR_M) break;
    if (at < 0) [low, short, long] = [middle, at, long / 2];
    else [high, long, short] = [middle, at, short / 2];
  }
  return middle;
}

/**
 * Whether loose feed, or else balls, stay within the swim at one speed (m/s) and depth (m).
 * @param {Feed} loose @param {Feed} balls @param {Swim} swim @param {number} swimLong
 * @param {number} speed @param {number} depth @returns {Compared}
 */
export function comparedAt(loose, balls, swim, swimLong, speed, depth) {
  const there = swimAt(swim, speed, depth);
  const water = waterAt(swim.celsius);
  const [one, other] = [loose, balls].map((feed) => sunkOf(feed, there, water).drift);
  const use = one <= swimLong ? "loose" : other <= swimLong ? "balls" : "neither";
  return { speed, depth, loose: one, balls: other, use };
}
