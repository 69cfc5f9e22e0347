// @ts-check
/** The words of jar tests, of the rig's watch, and of throws that are kept. */
import { said } from "./language.js";
import { count } from "./words.js";
import { throwWords } from "./words-throw.js";

const metres = (/** @type {number} */ cm) => (Math.abs(cm) / 100).toFixed(1);

export const jarWords = said("jar", {
  title: "Time a feed in a jar",
  help: "Fill a tall jar from the river. Drop one in, start as it leaves the surface, stop at the bottom.",
  feed: "Feed",
  deep: "Water in the jar (cm)",
  start: "Dropped: start",
  stop: "On the bottom: stop",
  floats: "It floats",
  odd: {
    jar: "Write how deep the water in the jar is: 5 to 200 whole centimetres.",
    quick: "That was too quick for a fall through water. Drop it again; nothing was kept.",
    long: "Ten minutes in a jar is no fall. If it hangs there, say that it floats; nothing was kept.",
    speed: "No feed sinks at that speed. Measure the water in the jar again; nothing was kept.",
  },
  dropKept: (/** @type {string} */ name, /** @type {string} */ s) => `${name}, ${s} s in the jar`,
  floatKept: (/** @type {string} */ name) => `${name} floats`,
  dropText: (/** @type {string} */ s, /** @type {number} */ cm) => `${cm} cm in ${s} s`,
  dropFloats: "floats",
  takeBack: "Take back",
  speed: (/** @type {string} */ cm) => `${cm} cm/s`,
  of: (/** @type {number} */ n) => `the mean of ${count(n, "drop", "drops")}`,
  ofOne: "one drop",
  spread: (/** @type {string} */ least, /** @type {string} */ most) => `from ${least} to ${most} cm/s`,
  more: (/** @type {number} */ n) => `${count(n, "more drop", "more drops")} would say how far single ones stray.`,
  apart: "These drops are far apart. Did one touch the glass, or was one another bait? Take that one back.",
  enough: "A hundred drops are enough: the last hundred count.",
  allFloat: "It floats: it never comes down to the fish. Weigh it down in a ball, or leave it out of the swim.",
  someFloat: (/** @type {number} */ n) => `${count(n, "drop", "drops")} floated and ${n === 1 ? "is" : "are"} left out.`,
  countsTitle: "Which test counts",
  rule: "The newest test of three drops or more counts; until there is one, the one of most drops. On the same day more drops, then your own.",
  by: (/** @type {string} */ who, /** @type {string} */ when, /** @type {number} */ n) => `${who}, ${when}, ${count(n, "drop", "drops")}`,
  counts: "counts",
  asideNow: "left aside",
  leave: "Leave aside",
  useAgain: "Use it again",
  asideKept: (/** @type {string} */ who) => `Test of ${who} left aside`,
  againKept: (/** @type {string} */ who) => `Test of ${who} used again`,
  nobody: "Nobody timed this feed yet: its sink speed is from memory.",
  measuredBy: (/** @type {string} */ said) => `Timed in a jar: ${said}.`,
  floatsOut: (/** @type {string} */ names) => `Floats, so it never lands: ${names}.`,

  rigTitle: "Where the rig settles",
  rigHelp: "Drop the rig in straight across. Start as it goes in, stop when it hangs still.",
  rigStart: "The rig is in: start",
  rigStop: "It settled: stop",
  rigWhere: (/** @type {string} */ s) => `It settled after ${s} s. How far downstream of where it went in?`,
  rigGuess: "As far as a float runs in that time; set it right.",
  rigLess: "Half a metre less",
  rigMore: "Half a metre more",
  rigKeep: "Keep it",
  rigForget: "Forget it",
  rigKept: (/** @type {string} */ m) => `Rig settles ${m} m downstream`,
  rigOdd: "That was too quick for a rig to settle. Drop it in again; nothing was kept.",
  after: (/** @type {string} */ s) => `after ${s} s`,

  throwKeep: "Keep this throw",
  throwInstead: "Keep this one instead",
  throwKept: (/** @type {string} */ said) => `Kept: ${said}`,
  throwOf: (/** @type {string} */ name, /** @type {string} */ said) => `${name} ${said}`,
  throwLost: "Take it out",
  throwShort: (/** @type {import("./throws.js").Throw} */ { upstream_cm: up, out_cm: out }) =>
    `${metres(up)} m ${up < 0 ? "down" : "up"}${out == null ? "" : ` · ${metres(out)} m out`}`,
  throwLong: (/** @type {import("./throws.js").Throw} */ { upstream_cm: up, out_cm: out, rod_cm: rod }) => {
    const way = up < 0 ? "downstream" : "upstream";
    const far = out == null ? "" : `, ${metres(out)} m out`;
    const long = !rod ? "" : ` (${[up, ...(out == null ? [] : [out])].map((cm) => throwWords.rods(cm / rod)).join(" and ")} rods)`;
    return `${metres(up)} m ${way}${far}${long}`;
  },
  throwsTitle: "Where I throw",
});
