// @ts-check
/** The words of a throw as the angler sees it, of the wind, and of what to change. */
import { said } from "./language.js";

const metres = (/** @type {number} */ m) => `${Math.abs(m).toFixed(1)} m`;
const percent = (/** @type {number} */ part) => `${Math.round(part * 100)} %`;
const speed = (/** @type {number} */ v) => `${v.toFixed(2)} m/s`;
const QUARTERS = ["", "¼", "½", "¾"];

/** To a quarter of it. @param {number} n */
function rods(n) {
  const quarters = Math.round(Math.abs(n) * 4);
  return `${Math.floor(quarters / 4) || (quarters % 4 ? "" : "0")}${QUARTERS[quarters % 4]}`;
}

const rodsSaid = (/** @type {number} */ n) => `${rods(n)} ${Math.abs(n) < 1.125 ? "rod" : "rods"}`;

/** To half an hour of the clock face. @param {number} hour */
function clock(hour) {
  const halves = Math.round(hour * 2);
  const before = Math.floor(halves / 2) || 12;
  if (halves % 2 === 0) return `at ${before} o'clock`;
  return `between ${before} and ${(before % 12) + 1} o'clock`;
}

export const throwWords = said("throw", {
  metres, percent, speed, rods,
  /** @param {import("./reckon/rods.js").ThrowPoint} point */
  point({ rodsUpstream: up, rodsAcross: out, clock: hour }) {
    const level = Math.abs(up) < 0.125;
    const along = level ? "Level with you" : `${rodsSaid(up)} ${up > 0 ? "upstream" : "downstream"}`;
    return `${along}, ${rodsSaid(out)} out, ${clock(hour)}.`;
  },
  lies: (/** @type {number} */ wide, /** @type {number} */ near) =>
    `Nine in ten lie over ${metres(wide)}, ${percent(near)} within half a metre of the rig.`,
  onward: (/** @type {number} */ m) =>
    `It passes the fish beside the rig and lies on the bed ${metres(m)} further ${m < 0 ? "up" : "down"}.`,
  past: (/** @type {number} */ long) =>
    `Not down within your swim of ${metres(long)}: put it in balls, or feed where it is slower.`,

  sideTitle: "From the side", aboveTitle: "From above",
  keyThrow: "throw this feed here", keyRig: "your rig goes in", keySettles: "it settles, at the fish",
  keyLies: "nine in ten lie here",
  you: "you", river: "river", zero: "0 m",
  /** @param {import("./swim.js").Around} around @param {number} settles */
  aboveSays: ({ stand, wind }, settles) =>
    `The river runs to your ${stand.flowsTo}. Your rig goes in straight out, ${metres(stand.line)} off `
    + `(${rodsSaid(stand.line / stand.rod)}), and settles ${metres(settles)} ${settles < 0 ? "up" : "down"}stream.`
    + (wind.way === "none" ? "" : ` Wind ${wind.way} the river at ${wind.speed} m/s moves the surface.`),
  standTitle: "You and the wind",
  flows: "The river runs to your", left: "left", right: "right",
  line: "How far out your rig goes in (m)", rod: "Your rod or pole (m)", long: "Length of your swim (m)",
  numberBad: (/** @type {number} */ least, /** @type {number} */ most) =>
    `Write metres from ${least} to ${most}. What was there before still counts.`,
  wind: "The wind blows along the river",
  winds: { none: "no", up: "up", down: "down" },
  windSpeed: "Wind", windLess: "Wind: less", windMore: "Wind: more",
  windHelp: "Time the float in a lull: the wind comes on top of it. Reckoned as three hundredths of the wind at the surface, less than a tenth of that 70 cm down (common practice).",
  /** Names of the Beaufort scale, up to so many m/s (from memory). @param {number} v */
  windName(v) {
    const names = /** @type {[number, string][]} */ ([[1.5, "light air"], [3.3, "light breeze"],
      [5.4, "gentle breeze"], [7.9, "moderate breeze"], [10.7, "fresh breeze"], [13.8, "strong breeze"]]);
    return names.find(([most]) => v <= most)?.[1] ?? "near gale";
  },

  working: "Reckoning…",
  tightTitle: "Feed tighter",
  tightFeed: "Feed",
  tightNow: (/** @type {string} */ name, /** @type {number} */ wide, /** @type {number} */ near) =>
    `${name} as it is: nine in ten within ${metres(wide)}, ${percent(near)} within half a metre of the rig.`,
  /** @type {Record<string, (way: import("./reckon/tighten.js").Way, feed: string) => string>} */
  ways: {
    closer: () => "Fish a line half as far out",
    low: () => "Throw low, or feed from a cup: half the scatter",
    heavier: ({ feed }, own) => feed.name === own
      ? "A heavier one that sinks half as fast again" : `${feed.name} instead`,
    balls: ({ feed }) => feed.name ? `${feed.name} instead` : "In firm balls of 80 mm",
    slack: ({ swim }) => `Wait for slack water, ${speed(swim.speed)}`,
  },
  gain: (/** @type {number} */ wide, /** @type {number} */ was, /** @type {number} */ near) =>
    `nine in ten within ${metres(wide)} instead of ${metres(was)}, ${percent(near)} near the rig`,
  noGain: (/** @type {string[]} */ ways) => `Hardly changes it: ${ways.join("; ").toLowerCase()}.`,
  tightNone: "Nothing here lays it much closer together.",

  compareTitle: "Loose or in balls",
  reach: (/** @type {string} */ name, /** @type {number} */ long, /** @type {number | null} */ v) =>
    v === null ? `${name}: down within ${metres(long)} in any river.`
      : v === 0 ? `${name}: the wind alone carries it past ${metres(long)}.`
      : `${name}: down within ${metres(long)} up to ${speed(v)}.`,
  compareSays: (/** @type {string} */ name, /** @type {number} */ long) =>
    `How far ${name} is carried. Where that is past your swim of ${metres(long)}, feed balls.`,
  flow: "Flow", deep: (/** @type {number} */ m) => `${m.toFixed(1)} m deep`,
  now: "now",
  uses: { loose: "loose", balls: "balls", neither: "neither" },

  riseTitle: "If the river rises",
  rise: (/** @type {number} */ cm) => cm < 0 ? `${-cm} cm lower` : `${cm} cm higher`,
  riseMore: "10 cm higher", riseLess: "10 cm lower",
  riseSays: (/** @type {number} */ depth, /** @type {number} */ v) =>
    `About ${metres(depth)} deep and ${speed(v)} at the surface: an estimate for a wide, even river. Plumb, time a float and see where the rig settles again.`,
  riseFeed: "Feed", riseBefore: "Now", riseAfter: "Then",
  riseWhere: (/** @type {number} */ m) => Math.abs(m) < 0.05 ? "with the rig" : `${metres(m)} ${m < 0 ? "up" : "down"}`,
  riseCare: "Water that rises or colours: move back from the edge, keep your way out free, do not wade.",

  care: [
    "Look up before you throw or ship out: stay 30 m away from power lines with pole, rod and line.",
    "Throw from firm ground. Do not wade or lean out for the last metre; steep and undercut banks give way.",
    "With a catapult mind who stands beside and behind you.",
  ],
});
