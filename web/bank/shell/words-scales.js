// @ts-check
/** The words of caps, weighing again and counted fish; they stand among the others. */

export const scales = {
  reweigh: "Weighed again because somebody asked: it replaces the first, even if lower",
  capRule: (/** @type {string} */ cap, /** @type {string} */ counts) => `A net over ${cap} counts ${counts}.`,
  capNothing: "nothing",
  counts: (/** @type {string} */ w) => `counts ${w}`,
  netFishTitle: "Fish in this net",
  fishGo: "Count the fish",
  netFishMore: (/** @type {string} */ name) => `One ${name} more`,
  netFishLess: (/** @type {string} */ name) => `One ${name} less`,
  fishTold: (/** @type {number} */ n, /** @type {number} */ points) => `${n} fish, ${points} ${points === 1 ? "point" : "points"}`,
  fishMissing: "fish not counted",
  fishSkip: "Keep it without a count",
  netFishBack: "Back to the weight",
};
