// @ts-check
/**
 * What the plan says is to go in next.
 * @typedef {{bait: string, amount: string, unit: string, line: string, minute: number}} Fed
 * @typedef {{stage: number, bait: string, name: string, line: string, at: number}} Due
 */
import { amountPlain } from "./feed.js";
import { stageOf, stagesFed } from "./lines.js";

const ONCE_MINUTES = 15;

/**
 * What is to go in next by the plan: a rhythm goes on from the last note of its bait, what goes in
 * once is due until it is noted. Minutes count from the start. Null when nothing is to come.
 * @param {any} plan @param {Fed[]} fed @param {number} minute
 * @param {Set<string>} [lines] no others are looked at @returns {Due | null}
 */
export function feedDue(plan, fed, minute, lines) {
  const stages = stagesFed(plan).filter(({ stage }) => !lines || lines.has(stage.line ?? ""));
  const due = stages.flatMap(({ stage, i }) => stage.feeds.map((/** @type {any} */ f) => ({
    stage: i, bait: f.bait, name: f.name, line: stage.line ?? "", at: dueAt(plan, stage, i, f, fed, minute),
  }))).filter((/** @type {any} */ d) => d.at !== null);
  return due.sort((/** @type {Due} */ a, /** @type {Due} */ b) => a.at - b.at)[0] ?? null;
}

/** @param {any} plan @param {any} stage @param {number} i @param {any} feed @param {Fed[]} fed @param {number} minute @returns {number | null} */
function dueAt(plan, stage, i, feed, fed, minute) {
  const mine = fed.filter((f) => f.bait === feed.bait && stageOf(plan, f) === i);
  if (!stage.every_seconds) {
    const until = Math.max(stage.end_minute, stage.start_minute + ONCE_MINUTES);
    return mine.length || minute >= until ? null : stage.start_minute;
  }
  const last = Math.max(...mine.map((f) => f.minute));
  const at = mine.length ? Math.max(stage.start_minute, last + stage.every_seconds / 60) : stage.start_minute;
  return minute >= stage.end_minute || at >= stage.end_minute ? null : at;
}

/**
 * Of the throws offered the one that is due next, else the first; null where none is offered.
 * @param {import("./feed.js").FeedButton[]} offered @param {any} plan @param {Fed[]} fed @param {number} minute
 */
export function throwDue(offered, plan, fed, minute) {
  const lines = new Set(offered.map((b) => b.line));
  const due = feedDue(plan, fed, minute, lines);
  const of = due && plan.stages[due.stage].feeds.find((/** @type {any} */ f) => f.bait === due.bait);
  return offered.find((b) => due && b.bait === due.bait && b.line === due.line
    && b.amount === amountPlain(String(of.amount)) && b.unit === of.unit) ?? offered[0] ?? null;
}
