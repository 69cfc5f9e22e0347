// @ts-check
/**
 * What has been typed on the keypad, and what a key does to it. Grams are typed as grams, with
 * the point set by itself; pounds, ounces and drams are three boxes, one of them active.
 */
import { dramsOf, WEIGHT_MOST } from "./weights.js";

/**
 * @typedef {"lb" | "oz" | "dr"} Box
 * @typedef {{unit: "g", digits: string}} Grams
 * @typedef {{unit: "dr", boxes: {lb: string, oz: string, dr: string}, active: Box}} Pounds
 * @typedef {Grams | Pounds} Typed
 */

/** @type {Box[]} */
const BOXES = ["lb", "oz", "dr"];
const GRAM_DIGITS = 7;
const LONGEST = { lb: 4, oz: 2, dr: 2 };

/**
 * The keypad before any key.
 * @param {import("./weights.js").WeightUnit} unit
 * @returns {Typed}
 */
export function nothingTyped(unit) {
  if (unit === "g") return { unit, digits: "" };
  return { unit, boxes: { lb: "", oz: "", dr: "" }, active: "lb" };
}

/**
 * The keypad after one more key; a key that fits nowhere changes nothing.
 * @param {Typed} typed
 * @param {string} key a digit, "00", "back", "clear", or a box to go to
 * @returns {Typed}
 */
export function keyPress(typed, key) {
  if (key === "clear") return nothingTyped(typed.unit);
  return typed.unit === "g" ? gramKey(typed, key) : poundKey(typed, key);
}

/**
 * The weight typed, or null while nothing is, or while it is no weight.
 * @param {Typed} typed
 * @returns {number | null}
 */
export function weightTyped(typed) {
  if (typed.unit === "g") {
    const grams = Number(typed.digits);
    return typed.digits === "" || grams > WEIGHT_MOST ? null : grams;
  }
  const { lb, oz, dr } = typed.boxes;
  if (lb === "" && oz === "" && dr === "") return null;
  if (Number(oz) > 15 || Number(dr) > 15) return null;
  const drams = dramsOf({ lb: Number(lb), oz: Number(oz), dr: Number(dr) });
  return drams > WEIGHT_MOST ? null : drams;
}

/** Whether there is anything to read at all. @param {Typed} typed */
export function isTyped(typed) {
  return typed.unit === "g" ? typed.digits !== "" : Object.values(typed.boxes).some(Boolean);
}

/** @param {Grams} typed @param {string} key @returns {Grams} */
function gramKey(typed, key) {
  if (key === "back") return { ...typed, digits: typed.digits.slice(0, -1) };
  if (!/^\d+$/.test(key)) return typed;
  const digits = (typed.digits + key).replace(/^0+(?=\d)/, "");
  return digits.length > GRAM_DIGITS ? typed : { ...typed, digits };
}

/** @param {Pounds} typed @param {string} key @returns {Pounds} */
function poundKey(typed, key) {
  if (key === "lb" || key === "oz" || key === "dr") return { ...typed, active: key };
  if (key === "back") return poundBack(typed);
  if (!/^\d$/.test(key)) return typed;
  return poundDigit(typed, key);
}

/** @param {Pounds} typed @param {string} key @returns {Pounds} */
function poundDigit(typed, key) {
  const { active, boxes } = typed;
  const now = (boxes[active] + key).replace(/^0+(?=\d)/, "");
  if (now.length > LONGEST[active]) return typed;
  // Sixteen ounces are a pound: a digit that cannot belong here begins the next box.
  if (active !== "lb" && Number(now) > 15) return boxNext(typed, key);
  return { ...typed, boxes: { ...boxes, [active]: now } };
}

/** @param {Pounds} typed @param {string} key @returns {Pounds} */
function boxNext(typed, key) {
  const next = BOXES[BOXES.indexOf(typed.active) + 1];
  if (!next || typed.boxes[next] !== "") return typed;
  return { ...typed, active: next, boxes: { ...typed.boxes, [next]: key } };
}

/** @param {Pounds} typed @returns {Pounds} */
function poundBack(typed) {
  const { active, boxes } = typed;
  if (boxes[active] !== "") {
    return { ...typed, boxes: { ...boxes, [active]: boxes[active].slice(0, -1) } };
  }
  const before = BOXES[BOXES.indexOf(active) - 1];
  return before ? { ...typed, active: before } : typed;
}
