// @ts-check
/** The lines of a plan, and which of its stages a feed on one of them belongs to. */
import { amountText } from "./words.js";

/**
 * The lines of a plan and of buttons made here, in their order.
 * @param {any} plan @param {{line: string}[]} made @returns {string[]}
 */
export function linesOf(plan, made) {
  const named = [...(plan?.stages ?? []), ...made].map((/** @type {any} */ s) => s.line).filter(Boolean);
  return [...new Set(named)];
}

/** What is fed, not hooked. @param {any} plan @returns {{stage: any, i: number}[]} in the order of their start */
export function stagesFed(plan) {
  return (plan?.stages ?? [])
    .map((/** @type {any} */ stage, /** @type {number} */ i) => ({ stage, i }))
    .filter((/** @type {any} */ s) => s.stage.kind !== "hook")
    .sort((/** @type {any} */ a, /** @type {any} */ b) => a.stage.start_minute - b.stage.start_minute);
}

/**
 * The stage of a line that is on, else the last begun, else the first to come.
 * @param {any} plan @param {string} line @param {number} minute since the start
 * @param {(stage: any) => boolean} [which] @returns {number | null} its place in the plan
 */
export function stageAt(plan, line, minute, which = (stage) => stage.feeds.length > 0) {
  const of = stagesFed(plan).filter(({ stage }) => (stage.line ?? "") === line && which(stage));
  const begun = of.filter(({ stage }) => stage.start_minute <= minute);
  const on = begun.filter(({ stage }) => minute < stage.end_minute);
  return (on.at(-1) ?? begun.at(-1) ?? of[0])?.i ?? null;
}

/**
 * The stage a feed of this bait on this line belongs to.
 * @param {any} plan @param {{bait: string, line: string, minute: number}} fed @returns {number | null}
 */
export function stageOf(plan, { bait, line, minute }) {
  return stageAt(plan, line, minute, (stage) => stage.feeds.some((/** @type {any} */ f) => f.bait === bait));
}

/** "2 pints · long". @param {{amount: string, unit: string, line?: string}} b */
export const throwText = ({ amount, unit, line }) => `${amountText(amount, unit)}${line ? ` · ${line}` : ""}`;

/**
 * What the match calls a bait; its key where it has none of that name.
 * @param {any} pack @param {string} key @returns {string}
 */
export const nameOf = (pack, key) => pack.baits.find((/** @type {any} */ b) => b.key === key)?.name ?? key;
