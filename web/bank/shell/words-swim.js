// @ts-check
/** The words of the swim: where each feed goes in. */
import { said } from "./language.js";
import { count } from "./words.js";

const metres = (/** @type {number} */ m) => `${Math.abs(m).toFixed(1)} m`;

export const swimWords = said("swim", {
  title: "Where it lands",
  help: "Throw each feed this far from where your rig goes in, and it lands where the rig settles.",
  where: (/** @type {number} */ m) =>
    Math.abs(m) < 0.05 ? "where the rig goes in" : `${metres(m)} ${m < 0 ? "upstream" : "downstream"}`,
  falls: (/** @type {number} */ s, /** @type {number} */ m) =>
    `Sinks for ${s < 10 ? s.toFixed(1) : Math.round(s)} s, carried ${metres(m)}.`,
  guessed: "Sink speed from memory: time yours in a jar.",
  measured: (/** @type {number} */ n) => `Timed in a jar, ${count(n, "drop", "drops")}.`,
  balls: (/** @type {number} */ mm) => `Balls of ${mm} mm`,
  ballsGuessed: "Weight of a firm ball with soil, from memory.",
  usual: [{ name: "Hemp" }, { name: "Caster" }, { name: "Maggot" }],
  pictureSays: (/** @type {string} */ depth, /** @type {string} */ speed) =>
    `${depth} m deep, ${speed} m/s at the surface and slower towards the bed.`,
  fishUp: (/** @type {number} */ m) => `The fish are ${metres(m)} down.`,
  fishDown: "The fish are at the bed.",
  deeper: "drawn deeper than it is",
  ruler: "Metres are counted from where the rig goes in.",
  swimTitle: "The swim",
  depth: "Depth",
  speed: "Speed of a float",
  settles: "The rig settles, downstream",
  fish: "The fish are, down from the surface",
  celsius: "Water",
  odd: (/** @type {string} */ label, /** @type {string} */ noted, /** @type {string} */ used) =>
    `${label}: your peg notes say ${noted}, which no swim has. Reckoned with ${used}; note it again.`,
  more: (/** @type {string} */ label) => `${label}: more`,
  less: (/** @type {string} */ label) => `${label}: less`,
  fromPeg: "Depth, float runs and where the rig settles are taken from your peg notes.",
  noNotes: "These are only to begin with. Plumb the depth, time a float and set them here.",
  again: "Take the peg notes again",
  notKept: "The phone could not keep this. It stands until you leave the page.",
  rough: "While you drag, how wide feed lies is told from a quarter of the sample.",
  honest: "Reckoned for an even river without weed or eddies. Where the bites come says more.",
});
