// @ts-check
/**
 * The rest of a wetted mix. Only the moment it began is kept, so no reload, kill or sleep of the
 * phone stops it. `was` is where a stopped one began, to go on from there.
 * @typedef {{from: number | null, was: number | null}} RestRow
 * @typedef {{state: "none" | "rests" | "rested", left: number, ready: number}} Rest
 */

/**
 * How a rest stands. `left` never shows more than the whole rest, should the clock go back.
 * @param {number} minutes @param {RestRow | undefined} row @param {number} now
 * @returns {Rest} milliseconds left, and when it is ready
 */
export function restOf(minutes, row, now) {
  if (!row || row.from === null) return { state: "none", left: 0, ready: 0 };
  const whole = minutes * 60_000;
  const ready = row.from + whole;
  const left = Math.min(whole, Math.max(0, ready - now));
  return { state: left > 0 ? "rests" : "rested", left, ready };
}

/** A mix was wetted: it rests from now on. @param {number} now @returns {RestRow} */
export const restBegin = (now) => ({ from: now, was: null });

/** It does not rest after all; when it began is kept. @param {RestRow} row @returns {RestRow} */
export const restStop = (row) => ({ from: null, was: row.from });

/** It rested all the while: as before it was stopped. @param {RestRow} row @returns {RestRow} */
export const restGoOn = (row) => ({ from: row.was, was: null });

/**
 * What is missing of a mix, or null. @param {{left_l: string | null}} mix
 * @returns {string | null} litres
 */
export function mixShort({ left_l: left }) {
  return left?.startsWith("-") ? left.slice(1) : null;
}
