// @ts-check
/** The words of a match's limits, of giving its signals and of the team. */
export const matchWords = {
  signalButtons: { start: "Start", five_minutes: "Last call", end: "All out" },
  signalsTitle: "Signals",
  signalsHelp: "Tap as it sounds, so that every phone shows it.",

  limits: "Bait limits",
  limitGroundbait: (/** @type {string} */ l) => `${l} groundbait, soil and particles`,
  limitBait: (/** @type {string} */ l) => `${l} animal bait`,
  limitPart: (/** @type {string} */ name, /** @type {string} */ l) => `${name}: ${l}`,
  limitForbidden: (/** @type {string} */ name) => `${name}: forbidden`,
  limitMine: (/** @type {string} */ l) => `your plan ${l}`,
  limitWithin: "within",
  limitOver: "over",
  limitUnjudged: "cannot be judged",
  limitNone: "This match sets no bait limits.",
  limitSource: (/** @type {string} */ source) => `Source: ${source}`,
  limitLocal: "The match rules on the day come first.",

  teamMates: "Your team on the bank",
};
