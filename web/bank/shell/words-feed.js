// @ts-check
/** The words of feed against plan and bag, and of a button of one's own. */
import { said } from "./language.js";
import { count } from "./words.js";

/** @param {number} minutes */
function span(minutes) {
  const whole = Math.floor(minutes);
  if (whole < 1) return "less than a minute";
  return whole < 60 ? count(whole, "minute", "minutes") : `${Math.floor(whole / 60)} h ${whole % 60} min`;
}

export const feedWords = said("feed", {
  dueIn: (/** @type {string} */ name, /** @type {number} */ minutes) => `${name} in ${span(minutes)}`,
  dueNow: (/** @type {string} */ name) => `${name} now`,
  dueSince: (/** @type {string} */ name, /** @type {number} */ minutes) => `${name} now, due ${span(minutes)} ago`,
  dueOn: (/** @type {string} */ said, /** @type {string} */ line) => `${said}, ${line} line`,
  dueNone: "Nothing more to go in by the plan.",
  stageIn: "In this stage",
  standOf: (/** @type {string} */ fed, /** @type {string} */ planned) => `${fed} of ${planned}`,
  unsure: "without what was noted in a unit that does not fit",
  bagTitle: "Left in my bag",
  bagOver: "more was noted than it held",

  feedMake: "Make a button",
  feedBait: "Bait",
  feedAmount: "Amount of one throw",
  feedUnit: "Unit",
  feedLine: "Line, if you fish more than one",
  feedMakeDo: "Make it",
  feedAmountBad: "Write the amount as a number, such as 0.25.",

  feedLog: "Logged so far",
  feedLogWhole: (/** @type {number} */ n) => `Show all ${n}`,
  feedLogNone: "Nothing logged yet.",
  feedTotal: (/** @type {string} */ what) => `So far: ${what}`,
  takeBack: "Take back",
});
