// @ts-check
/** The words of what a peg is like: flow by float runs, depth, snags, and what was noted before. */
import { said } from "./language.js";
import { count } from "./words.js";

export const pegWords = said("peg", {
  pegTitle: (/** @type {string} */ n) => (n ? `My peg, ${n}` : "My peg"),
  flowTitle: "Flow, by float runs",
  flowHelp: "Run a float over a measured distance. Start as it passes the first mark, stop at the second.",
  runDistance: "Distance of the run (cm)",
  watchStart: "Start the watch",
  watchStop: "Stop",
  watchSeconds: (/** @type {string} */ s) => `${s} s`,
  runOdd: "That was no run: write the distance in whole centimetres, and let the float run longer than half a second.",
  runKept: (/** @type {string} */ speed) => `Float run ${speed} m/s`,
  flowMean: (/** @type {string} */ speed) => `${speed} m/s`,
  flowOf: (/** @type {number} */ n) => `at the surface, the mean of ${count(n, "run", "runs")}`,
  flowSpread: (/** @type {string} */ least, /** @type {string} */ most) => `from ${least} to ${most} m/s`,
  runText: (/** @type {number} */ cm, /** @type {string} */ s, /** @type {string} */ speed) =>
    `${cm} cm in ${s} s: ${speed} m/s at the surface`,
  typedTitle: "Timed with another watch",
  runSeconds: "Time (seconds)",
  runKeep: "Keep the run",
  takeBack: "Take back",

  notesTitle: "What the peg is like",
  depth: "Depth (cm)",
  settles: "The rig settles this far downstream (cm)",
  celsius: "Water, in °C",
  snags: "Snags: what, and where",
  pegNote: "Anything else",
  pegKeep: "Keep the notes",
  pegNoteKept: "Peg notes",
  pegNumbersBad: "Write whole centimetres, and °C from 0 to 30 with one decimal at most, or leave a field empty. Write at least one thing.",
  depthText: (/** @type {number} */ cm) => `Depth ${cm} cm`,
  settlesText: (/** @type {number} */ cm, /** @type {number | undefined} */ ms = undefined) =>
    `Rig settles ${cm} cm downstream${ms ? `, after ${(ms / 1000).toFixed(1)} s` : ""}`,
  celsiusText: (/** @type {number} */ tenths) => `Water ${(tenths / 10).toFixed(1)} °C`,
  snagsText: (/** @type {string} */ what) => `Snags: ${what}`,
  toSwim: "Where it lands",

  beforeTitle: "Noted here before",
  beforeNone: "Neither you nor your team noted anything at this peg in an earlier match.",
  beforeBy: (/** @type {string} */ date, /** @type {string} */ who) => `${date}, ${who}`,
  venueSays: (/** @type {number} */ cm) => `The venue's list says ${cm} cm deep.`,
});
