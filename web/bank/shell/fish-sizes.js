// @ts-check
/**
 * Fish by size and what they usually weigh: always a guess, never a weigh-in.
 * @typedef {"small" | "middling" | "good"} Size
 * @typedef {Record<string, [number | null, number | null, number | null]>} Sizes grams by species
 */
import { speciesScored } from "./fish.js";

/** @type {Size[]} */
export const SIZES = ["small", "middling", "good"];
const DRAM_G = 1.7718451953125;

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
 * The species a member may tap: those the match scores, else the usual ones and those this person
 * weighed; and any other fish.
 * @param {any} match @param {Sizes} own what this person set @returns {string[]}
 */
export function speciesOf(match, own) {
  const scored = speciesScored(match).map((s) => s.name);
  const named = scored.length ? scored : [...Object.keys(USUAL), ...Object.keys(own)];
  return [...new Set([...named, "other"])];
}

/**
 * Grams of a species by size: this person's, kept by its name in small letters, else the usual
 * ones, else unknown.
 * @param {string} species @param {Sizes} own @returns {[number | null, number | null, number | null]}
 */
export function gramsOf(species, own) {
  const name = species.toLowerCase();
  return own[name] ?? USUAL[name] ?? [null, null, null];
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
