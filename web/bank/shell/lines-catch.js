// @ts-check
/** What each line has brought so far: the same rule as the review's (bait/reckon/review). */
import { linesOfCatch } from "./reckon/lines.js";

/** What is believed of a line before it is fished: as the review has it. */
const PRIOR = { fish: 1, minutes: 10 };
/** From so likely on, and with so many fish, one line is called the better one. */
const SURE = 0.8;
const FISH_LEAST = 10;
/** Less than so many minutes on a line say nothing of it. */
const LEAST_MINUTES = 10;

/**
 * @typedef {{minute: number, line: string}} Switch
 * @typedef {{minute: number, line: string, count: number, about: number | null}} CaughtOn
 * @typedef {{first: string, switches: Switch[], caught: CaughtOn[], minute: number}} Day
 */

/**
 * Minutes, fish and guessed weight of each line from the start to now, in the order first fished.
 * A switch says which line is fished, and so does a fish.
 * @param {Day} day @returns {import("./reckon/lines.js").Line[]}
 */
export function linesSoFar({ first, switches, caught, minute }) {
  const inTime = caught.filter((one) => one.minute >= 0 && one.minute <= minute);
  const moves = [...switches.map((s) => ({ ...s, kind: 0 })), ...inTime.map((c) => ({ ...c, kind: 1 }))]
    .sort((a, b) => a.minute - b.minute || a.kind - b.kind);
  /** @type {Map<string, number>} */
  const minutes = new Map();
  const add = (/** @type {string} */ line, /** @type {number} */ for_) => minutes.set(line, (minutes.get(line) ?? 0) + for_);
  let [line, since] = [first, 0];
  for (const move of moves) {
    if (move.line === line || move.minute > minute) continue;
    if (move.minute > since) {
      add(line, move.minute - since);
      since = move.minute;
    }
    line = move.line;
  }
  add(line, Math.max(0, minute - since));
  const known = inTime.filter((one) => one.about !== null);
  const mean = known.reduce((sum, one) => sum + (one.about ?? 0), 0)
    / Math.max(1, known.reduce((sum, one) => sum + one.count, 0));
  return [...minutes].map(([name, spent]) => {
    const own = inTime.filter((one) => one.line === name);
    return {
      name,
      minutes: spent,
      fish: own.reduce((sum, one) => sum + one.count, 0),
      weight: own.reduce((sum, one) => sum + (one.about ?? mean * one.count), 0),
    };
  });
}

/** The lines that were fished long enough to compare; null while there are not two. @param {Day} day */
export function linesCompared(day) {
  const lines = linesSoFar(day).filter((line) => line.minutes >= LEAST_MINUTES);
  if (lines.length < 2 || !lines.some((line) => line.fish)) return null;
  return linesOfCatch(lines, PRIOR).map((shown, n) => ({ ...shown, fish: lines[n].fish }));
}

/**
 * The line that is called the better one; null where that cannot be told, as the review has it.
 * @param {NonNullable<ReturnType<typeof linesCompared>>} lines
 */
export function lineBetter(lines) {
  const best = lines.reduce((a, b) => (b.best > a.best ? b : a));
  const fish = lines.reduce((sum, line) => sum + line.fish, 0);
  return fish >= FISH_LEAST && best.best >= SURE ? best : null;
}
