// @ts-check
/**
 * Fish by size, what they usually weigh, and what the catch comes to by that: always a guess, never
 * a weigh-in.
 * @typedef {"small" | "middling" | "good"} Size
 * @typedef {Record<string, [number | null, number | null, number | null]>} Sizes grams by species
 * @typedef {{count: number, about: number | null, minute: number}} Caught
 */
import { speciesScored } from "./fish.js";

/** @type {Size[]} */
export const SIZES = ["small", "middling", "good"];
const DRAM_G = 1.7718451953125;
const PACE_MINUTES = 60;
const PACE_LEAST = 10;

/**
 * What to begin with. Roach (12, 18, 25 cm), perch (12, 18, 25), skimmer (20, 27, 33) and bream
 * (38, 45, 52) by W = a·L^b fitted to the 159 fish of 1917; dace (11, 15, 19) by the law of the
 * river Exe; chub, bleak and gudgeon from memory.
 * @type {Sizes}
 */
export const USUAL = {
  roach: [15, 50, 145],
  skimmer: [80, 200, 375],
  bream: [585, 985, 1545],
  perch: [15, 60, 165],
  chub: [60, 250, 900],
  dace: [20, 55, 110],
  bleak: [8, 15, 25],
  gudgeon: [8, 15, 30],
};

/**
 * The species a member may tap: those the match scores, else the usual ones; and any other fish.
 * @param {any} match @param {Sizes} own what this person set @returns {string[]}
 */
export function speciesOf(match, own) {
  const scored = speciesScored(match).map((s) => s.name);
  const named = scored.length ? scored : [...Object.keys(USUAL), ...Object.keys(own)];
  return [...new Set([...named, "other"])];
}

/**
 * Grams of a species by size: this person's, else the usual ones, else unknown.
 * @param {string} species @param {Sizes} own @returns {[number | null, number | null, number | null]}
 */
export function gramsOf(species, own) {
  return own[species] ?? USUAL[species.toLowerCase()] ?? [null, null, null];
}

/** Grams in the match's unit, whole. @param {number} grams @param {"g" | "dr"} unit */
export const inUnit = (grams, unit) => (unit === "g" ? grams : Math.round(grams / DRAM_G));

/**
 * A weight short enough for a key: "50 g", "1.55 kg"; "1 oz", "1 lb 4 oz", of less than an ounce
 * drams. @param {number} weight @param {"g" | "dr"} unit
 */
export function shortText(weight, unit) {
  if (unit === "g") return weight < 1000 ? `${weight} g` : `${weight / 1000} kg`;
  if (weight < 16) return `${weight} dr`;
  const ounces = Math.round(weight / 16);
  const [lb, oz] = [Math.floor(ounces / 16), ounces % 16];
  return [lb ? `${lb} lb` : "", oz ? `${oz} oz` : ""].filter(Boolean).join(" ");
}

/**
 * How many fish, what they come to at a guess, and how many the guess leaves out.
 * @param {Caught[]} caught
 */
export function catchOf(caught) {
  const count = (/** @type {Caught[]} */ of) => of.reduce((sum, c) => sum + c.count, 0);
  return {
    fish: count(caught),
    about: caught.reduce((sum, c) => sum + (c.about ?? 0), 0),
    unknown: count(caught.filter((c) => c.about === null)),
  };
}

/**
 * Weight an hour, at a guess: of the last hour, or since the start while that is less. Null in the
 * first ten minutes. @param {Caught[]} caught @param {number} minute since the start
 */
export function paceNow(caught, minute) {
  if (minute < PACE_LEAST) return null;
  const span = Math.min(PACE_MINUTES, minute);
  const lately = caught.filter((c) => c.minute > minute - span && c.minute <= minute);
  return Math.round((catchOf(lately).about * 60) / span);
}

/**
 * Weight an hour that is still needed to come to `target`. Null once there is no time left.
 * @param {number} target @param {number} about @param {number} minutesLeft
 */
export function paceNeeded(target, about, minutesLeft) {
  if (minutesLeft <= 0) return null;
  return Math.round((Math.max(0, target - about) * 60) / minutesLeft);
}
