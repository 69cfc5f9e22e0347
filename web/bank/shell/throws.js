// @ts-check
/**
 * Where each feed is thrown, as it was kept for a match: centimetres upstream of where the rig
 * goes in, below zero downstream; out from the bank and the rod's length where they are known.
 * @typedef {{upstream_cm: number, out_cm?: number | null, rod_cm?: number | null}} Throw
 * @typedef {Throw & {fact: import("./facts.js").Fact}} ThrowKept
 */
import { byOrder, ownInForce } from "./facts.js";

/** What a throw is of: a bait, or balls of a size. @param {{bait?: string | null, ball_mm?: number | null}} body */
export const throwKey = ({ bait, ball_mm: mm }) => bait ?? `ball-${mm}`;

/**
 * The throw kept last of each feed: what is unsent is the latest.
 * @param {import("./facts.js").Known[]} known @param {{id: string} | null} person
 * @returns {Map<string, ThrowKept>}
 */
export function throwsKept(known, person) {
  const before = keptOf.get(known) ?? throwsRead(known, person);
  keptOf.set(known, before);
  return before;
}

/** Every button of a screen asks. @type {WeakMap<import("./facts.js").Known[], Map<string, ThrowKept>>} */
const keptOf = new WeakMap();

/** @param {import("./facts.js").Known[]} known @param {{id: string} | null} person */
function throwsRead(known, person) {
  const rows = ownInForce(known, person, "feed_throw")
    .sort(byOrder);
  return new Map(rows.map(({ fact }) =>
    [throwKey(fact.body), { .../** @type {Throw} */ (fact.body), fact }]));
}

/**
 * The throw a button of the feed screen belongs to: what is loaded into balls goes in with them.
 * @param {any} plan @param {{bait: string, stage: number | null}} button
 */
export function throwKeyOf(plan, { bait, stage }) {
  const balls = stage === null ? null : plan?.stages[stage]?.balls;
  return balls ? `ball-${balls.mm}` : bait;
}
