// @ts-check
/**
 * Fish weights as whole numbers: grams, or drams (16 drams an ounce, 16 ounces a pound).
 * @typedef {"g" | "dr"} WeightUnit
 */

import { numeral } from "./language.js";

const DRAMS_IN_OUNCE = 16;
const DRAMS_IN_POUND = 256;
export const WEIGHT_MOST = 2_000_000;

/**
 * "4.250 kg", "9 lb 6 oz 8 dr".
 * @param {number} weight whole, in `unit`
 * @param {WeightUnit} unit
 */
export function weightText(weight, unit) {
  if (unit === "g") {
    const kilos = Math.floor(weight / 1000);
    return numeral(`${kilos}.${String(weight % 1000).padStart(3, "0")} kg`);
  }
  const { lb, oz, dr } = poundsOf(weight);
  return `${lb} lb ${oz} oz ${dr} dr`;
}

/** A weight in drams as pounds, ounces and drams. @param {number} drams */
function poundsOf(drams) {
  return {
    lb: Math.floor(drams / DRAMS_IN_POUND),
    oz: Math.floor((drams % DRAMS_IN_POUND) / DRAMS_IN_OUNCE),
    dr: drams % DRAMS_IN_OUNCE,
  };
}

/** The weight of these in drams. @param {{lb: number, oz: number, dr: number}} parts */
export function dramsOf({ lb, oz, dr }) {
  return lb * DRAMS_IN_POUND + oz * DRAMS_IN_OUNCE + dr;
}
