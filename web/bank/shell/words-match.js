// @ts-check
/** The words of a match's signals, limits and team. */
import { said } from "./language.js";
export const matchWords = said("match", {
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

  signalNext: "next",
  given: (/** @type {string} */ planned) => `given, planned ${planned}`,
  venueTime: (/** @type {string} */ venue) => `Times at ${venue}.`,
  timesChanged: "The times changed",
  timeWas: (/** @type {string} */ name, /** @type {string | null} */ now, /** @type {string | null} */ was) =>
    now === null ? `${name}: no more, was ${was}`
      : was === null ? `${name}: ${now}, new` : `${name}: ${now}, was ${was}`,
  timesSeen: "Seen",
});
