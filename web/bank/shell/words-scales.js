// @ts-check
/** The words of caps, weighing again and counted fish; they stand among the others. */

export const scales = {
  reweigh: "Weighed again because somebody asked: it replaces the first, even if lower",
  keptToSettle: "kept here, to be settled",
  besides: (/** @type {string} */ w, /** @type {string} */ who) => `${w} was weighed${who ? ` by ${who}` : ""} and stands. What you type is kept beside it, and the secretary settles which counts.`,
  afterConfirmed: "The result is confirmed. What you keep now counts only once the secretary settles it.",
  toBeSettled: "to be settled",
  noWeight: (/** @type {string} */ most, /** @type {string} */ unit) =>
    `This is no weight: ${unit === "dr" ? "ounces and drams go from 0 to 15, and " : ""}${most} is the most. Nothing is kept yet; type it again.`,
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
