// @ts-check
/** The words of cautions and of a section at a glance. Advice: see each, with what it rests on. */
import { said } from "./language.js";
import { count } from "./words.js";

export const careWords = said("care", {
  careTitle: "Take care",
  careFirst: "The organiser's and the water's own rules come first, then what the emergency services say. This is what is usually advised.",
  cares: [
    ["Lightning", [
      "Count from the flash to the thunder. At 30 seconds or less put the pole down and leave the water's edge.",
      "Keep away from lone trees, poles and wire fences. Go back 30 minutes after the last thunder.",
    ]],
    ["Power lines", [
      "Poles, wet line and wet clothes conduct. The line need not be touched.",
      "Stay at least 30 m away from overhead lines, with the pole shipped back as well (advice of the UK's networks).",
    ]],
    ["Flood and rising water", [
      "Water that rises, colours or brings branches: move back from the edge, keep your way out free, tell the organiser.",
      "Do not wade, and do not cross water you came over dry.",
    ]],
    ["Fallen in", [
      "Under 15 °C the cold takes your breath. Float on your back until it comes again, then call.",
      "Help from the bank: reach or throw something. Do not go in after anybody.",
    ]],
    ["Infected water", [
      "Cover cuts, wash your hands before eating. Flu within three weeks: tell the doctor that you fish.",
    ]],
  ],

  sectionTitle: (/** @type {string} */ label) => `Section ${label}`,
  sectionNone: "You have no peg drawn, so no section of your own. Choose one.",
  sectionWeighed: (/** @type {number} */ done, /** @type {number} */ all) => `${done} of ${all} weighed`,
  sectionLeads: (/** @type {string} */ who) => `As far as this phone knows, ${who} leads`,
  sectionLevel: (/** @type {string} */ who) => `As far as this phone knows, level in front: ${who}`,
  sectionNobody: "Nobody leads yet, as far as this phone knows.",
  asOf: (/** @type {string} */ time) => `As of ${time}, and what was kept on this phone since.`,
  asOfNever: "Nothing has come from the server yet: only what was kept on this phone.",
  points: (/** @type {number} */ n) => count(n, "point", "points"),
  me: "you",
  leads: "leads",
  notWeighed: "not weighed",
  empty: "nobody drawn",
  settle: "to settle",
});
