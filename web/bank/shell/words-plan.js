// @ts-check
/** The words of the plan, the bag and the mixing sheet. */
import { said } from "./language.js";
import { count } from "./words.js";

export const planWords = said("plan", {
  planTitle: "My plan",
  planNone: "You have no plan for this match. Write one on the desk while you have signal; it comes down by itself.",
  planOpen: "Open the plan on the desk",
  planMixing: "Mixing sheet and rest timer",
  stageKinds: {
    opening: "Opening", feed: "Feed", top_up: "Top-up", switch: "Switch", hook: "Hook baits",
  },
  stageBalls: (/** @type {number} */ n, /** @type {number} */ mm, /** @type {string} */ mix, /** @type {number} */ loads) =>
    `${count(n, "ball", "balls")} of ${mm} mm from the mix “${mix}”${loads ? ", loaded with:" : ""}`,
  stageLine: (/** @type {string} */ line) => `${line} line`,
  stageFrom: (/** @type {number} */ from, /** @type {number} */ to) =>
    from < 0 ? `${-from} min before the start, until minute ${to}`
      : from === to ? `Minute ${from}` : `Minute ${from} to ${to}`,
  everyText: (/** @type {number} */ s) =>
    s === 60 ? "every minute" : s % 60 === 0 ? `every ${s / 60} minutes` : `every ${s} seconds`,
  stageNow: "now",
  bagTitle: "In my bag",
  bagNone: "Nothing has been handed out to you yet.",
  spare: (/** @type {number} */ p) => `${p} % spare is counted in.`,

  // The mixing sheet.
  mixTitle: "Mixing sheet",
  mixName: (/** @type {string} */ name) => `Mix “${name}”`,
  mixNone: "Your plan has no mix. Add one on the desk while you have signal; it comes down by itself.",
  mixRules: "The organiser's and the water's rules come first. Some forbid balls made before bait control.",
  mixHemp: "Hot hemp scalds. Let it cool before it goes into a bag, a bucket or your hands.",
  mixDry: "Mix dry",
  mixWater: (/** @type {string} */ l) => `Wet it: ${l} L of water`,
  mixWaterUnknown: "Wet it",
  mixWaterHow: "Most of it first, the rest a little at a time. Stop when a handful squeezed just holds.",
  mixRest: (/** @type {number} */ n) => `Let it rest ${count(n, "minute", "minutes")}, covered`,
  mixRiddle: "Riddle it",
  mixAfter: "Then riddle in",
  mixLoad: "Load and squeeze last, only what the next balls need",
  mixReady: (/** @type {string} */ l) => `Makes ${l} L loose, ready to use.`,
  mixShort: (/** @type {string | null} */ l) => `${l} L short of all its balls: wet more, or make fewer.`,
  restStart: "It is wet: start the rest",
  restStop: "Stop the clock",
  restClear: "Put the clock away",
  restGoOn: (/** @type {string} */ time) => `Go on from ${time}`,
  restTimes: (/** @type {string} */ from, /** @type {string} */ to) => `Wetted at ${from}, ready at ${to}.`,
  rested: (/** @type {string} */ time) => `Rested since ${time}: riddle it now.`,
  restNotKept: "The phone could not keep the time. Look at your watch and write it down.",
  ballsOf: (/** @type {number} */ n, /** @type {number} */ mm) => `${count(n, "ball", "balls")} of ${mm} mm`,
  ballsEach: (/** @type {number} */ ml, /** @type {number | null} */ most) =>
    most === null ? `${ml} ml in each.` : `${ml} ml in each, ${most} ml at most.`,
  ballsHold: "Holds",
  ballsBreak: "Breaks: take less, or more balls",
  ballsUnknown: "Cannot be judged: not all is in litres",
  ballsBare: "Nothing is loaded into them.",
  ballMost: (/** @type {number} */ mm, /** @type {number} */ hemp, /** @type {number} */ maggot) =>
    `A ball of ${mm} mm takes ${hemp} ml of hemp or ${maggot} ml of dead maggot and still holds. Squeeze one to be sure.`,
});
