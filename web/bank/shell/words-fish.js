// @ts-check
/** The words of what a catch comes to at a guess, and of fish sizes. */
import { said } from "./language.js";
import { count } from "./words.js";

export const fishWords = said("fish", {
  guess: (/** @type {string} */ weight) => `About ${weight}`,
  guessIs: (/** @type {number} */ n) => `an estimate from ${count(n, "fish", "fish")}`,
  guessWithout: (/** @type {number} */ n) => `${count(n, "fish", "fish")} of unknown weight not in it`,
  pace: (/** @type {string} */ weight) => `${weight} an hour now`,
  paceSoon: "Pace: after ten minutes",
  needed: (/** @type {string} */ weight, /** @type {string} */ target) => `${weight} an hour needed for ${target}`,
  targetThere: (/** @type {string} */ target) => `${target} is there, at a guess`,
  linesTitle: "Which line brings more",
  lineRate: (/** @type {string} */ line, /** @type {string} */ perHour, /** @type {string} */ low, /** @type {string} */ high) =>
    `${line}: ${perHour} fish an hour (${low} to ${high})`,
  lineBetter: (/** @type {string} */ line, /** @type {number} */ chance) => `${line} is the better one by weight, ${chance} chances in 100.`,
  lineUnsure: "Which is better by weight cannot be told yet.",
  targetTitle: "The weight I fish for, and my fish sizes",
  target: { g: "Weight to fish for (grams)", dr: "Weight to fish for (drams, 256 to the pound)" },
  sizesHelp: "What a fish of each size usually weighs here, in grams. The first figures are from published lengths and weights and from memory; yours go before them.",
  sizeOf: (/** @type {string} */ species, /** @type {string} */ size) => `${species}, ${size} (g)`,
  sizesKeep: "Keep these",
  sizesBad: "Write whole grams, or leave a field empty.",
  sizesKept: "Kept on this phone.",
});
