// @ts-check
/**
 * What a catch comes to by the sizes of its fish, and how fast: always a guess, never a weigh-in.
 * @typedef {{count: number, about: number | null, minute: number}} Caught
 */
import { USUAL } from "./fish-sizes.js";

/** @typedef {import("./fish-sizes.js").Sizes} Sizes */

const PACE_MINUTES = 60;
const PACE_LEAST = 10;

/** Of what a person typed what differs from the usual. @param {Sizes} typed @returns {Sizes} */
export function sizesOwn(typed) {
  return Object.fromEntries(Object.entries(typed)
    .map(([species, grams]) => /** @type {const} */ ([species.toLowerCase(), grams]))
    .filter(([species, grams]) => String(grams) !== String(USUAL[species] ?? [null, null, null])));
}

/**
 * How many fish, what they come to at a guess, and how many the guess leaves out.
 * @param {Caught[]} caught
 */
export function catchOf(caught) {
  const count = (/** @type {Caught[]} */ of) => of.reduce((sum, c) => sum + c.count, 0);
  return {
    fish: count(caught),
    about: caught.reduce((sum, c) => sum + (c.about ?? 0), 0),
    unknown: count(caught.filter((c) => c.about === null)),
  };
}

/**
 * Weight an hour, at a guess: of the last hour, or since the start while that is less. Null in the
 * first ten minutes. @param {Caught[]} caught @param {number} minute since the start
 */
export function paceNow(caught, minute) {
  if (minute < PACE_LEAST) return null;
  const span = Math.min(PACE_MINUTES, minute);
  const lately = caught.filter((c) => c.minute > minute - span && c.minute <= minute);
  return Math.round((catchOf(lately).about * 60) / span);
}

/**
 * Weight an hour that is still needed to come to `target`. Null once there is no time left.
 * @param {number} target @param {number} about @param {number} minutesLeft
 */
export function paceNeeded(target, about, minutesLeft) {
  if (minutesLeft <= 0) return null;
  return Math.round((Math.max(0, target - about) * 60) / minutesLeft);
}
