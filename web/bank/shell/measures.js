// @ts-check
/**
 * The other system's measure beside an amount, for who chose so at the desk: "2 pints (1.14 L)".
 * Only said: nothing is stored, bought or judged by it. Sizes: UK Weights and Measures Act 1985.
 */
import { numeral } from "./language.js";

/** How many litres, kilograms or metres each is, and the system it is of. @type {Record<string, [number, "uk" | "metric", string]>} */
const SIZES = {
  pint: [0.56826125, "uk", "L"], lb: [0.45359237, "uk", "kg"], oz: [0.45359237 / 16, "uk", "kg"], ft: [0.3048, "uk", "m"],
  L: [1, "metric", "pint"], ml: [0.001, "metric", "pint"], kg: [1, "metric", "lb"], g: [0.001, "metric", "lb"],
  m: [1, "metric", "ft"], cm: [0.01, "metric", "ft"],
};
const HERE = "measures";

/** @returns {string} "uk" and "metric" say that system's measure beside the other's */
function chosen() {
  try {
    return localStorage.getItem(HERE) ?? "";
  } catch {
    return "";
  }
}

/** Take over what the person chose at the desk. @param {string} measures as the desk has it */
export function measuresOfPerson(measures) {
  try {
    if (measures !== chosen()) localStorage.setItem(HERE, measures);
  } catch {
    // A private window says amounts as they are written.
  }
}

/** " (1.14 L)", to the hundredth, a tenth of feet; "" where it is of the system asked for already.
 * @param {number} amount @param {string} unit @param {string} [want] */
export function besideText(amount, unit, want = chosen()) {
  const [size, system, to] = SIZES[unit] ?? [];
  if (!size || !to || system === want || !(want === "uk" || want === "metric")) return "";
  const other = (amount * size) / SIZES[to][0];
  const said = to === "kg" && other < 1 ? `${Math.round(other * 1000)} g`
    : to === "lb" && other < 1 ? `${(other * 16).toFixed(1)} oz`
    : `${other.toFixed(to === "ft" ? 1 : 2)} ${to === "pint" ? "pt" : to}`;
  return ` (${numeral(said)})`;
}
