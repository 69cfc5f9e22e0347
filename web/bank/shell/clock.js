// @ts-check
/**
 * The signals of a match's day: when each is planned, when it was given, and which comes next.
 * A signal given at its real time counts from then on; what is still to come stays as planned,
 * until the secretary moves it.
 * @typedef {"draw"|"prepare"|"feed"|"start"|"last_call"|"end"} Name
 * @typedef {{name: Name, planned: number, given: number | null, at: number, done: boolean}} Signal
 * @typedef {{next: Signal | null, passed: Set<Name>}} Standing
 * @typedef {Partial<Record<Name, number | null>>} Was what a signal's time was; null for none
 */
import { inForce } from "./facts.js";
import { loggedAt } from "./times.js";

/** @type {Record<string, Name>} */
const BY_FACT = { start: "start", five_minutes: "last_call", end: "end" };

/**
 * What the match plans, in order; a signal without a time is left out.
 * @param {any} match
 * @returns {[Name, number][]}
 */
export function planned(match) {
  const end = Date.parse(match.end_at);
  const call = match.last_call_min ?? 5;
  /** @type {[Name, number | null][]} */
  const all = [
    ["draw", timeOf(match.draw_at)],
    ["prepare", timeOf(match.prepare_at)],
    ["feed", timeOf(match.feed_at)],
    ["start", timeOf(match.start_at)],
    ["last_call", call ? end - call * 60_000 : null],
    ["end", end],
  ];
  return /** @type {[Name, number][]} */ (all.filter(([, at]) => at !== null));
}

/** @param {string | null | undefined} text */
const timeOf = (text) => (text ? Date.parse(text) : null);

/**
 * When each signal was first given, of the taps not taken back.
 * @param {import("./facts.js").Known[]} known
 * @returns {Map<Name, number>}
 */
export function givenTimes(known) {
  const before = givenOf.get(known) ?? firstTimes(known);
  givenOf.set(known, before);
  return before;
}

/** Asked for each note of a day, and the same until more is known.
 * @type {WeakMap<import("./facts.js").Known[], Map<Name, number>>} */
const givenOf = new WeakMap();

/** @param {import("./facts.js").Known[]} known @returns {Map<Name, number>} */
function firstTimes(known) {
  /** @type {Map<Name, number>} */
  const first = new Map();
  for (const { fact } of inForce(known)) {
    const name = fact.kind === "signal" ? BY_FACT[fact.body.signal] : undefined;
    if (name) first.set(name, Math.min(loggedAt(fact), first.get(name) ?? Infinity));
  }
  return first;
}

/**
 * Each signal of the match: when it is planned, when it was given, and which of the two counts; ms.
 * @param {any} match
 * @param {import("./facts.js").Known[]} known
 * @returns {Signal[]}
 */
export function signalsOf(match, known) {
  const given = givenTimes(known);
  return planned(match).map(([name, at]) => {
    const told = given.get(name) ?? null;
    return { name, planned: at, given: told, at: told ?? at, done: name === "draw" && isDrawn(match) };
  });
}

/** Drawn before its hour, nobody waits for it. @param {any} match */
const isDrawn = (match) => match.state !== undefined && match.state !== "planned";

/**
 * Passed is what was given, what came before something given, what is done, and what is past its time.
 * @param {Signal[]} signals
 * @param {number} now
 * @returns {Standing}
 */
export function standing(signals, now) {
  const lastGiven = signals.findLastIndex((s) => s.given !== null && s.given <= now);
  const passed = signals.filter((s, i) => i <= lastGiven || s.done || s.at <= now);
  const next = signals.find((s) => !passed.includes(s)) ?? null;
  return { next, passed: new Set(passed.map((s) => s.name)) };
}

/**
 * What to tell as changed: for each signal the time this phone's person last saw it at.
 * @param {any} before the match as it was held, or undefined
 * @param {any} after
 * @param {Was} held what was told as changed and not seen yet
 * @returns {Was}
 */
export function timesWas(before, after, held = {}) {
  // Held by a build that knew no signals: nothing can be said to have changed.
  if (!before || !("last_call_min" in before)) return {};
  const [then, now] = [new Map(planned(before)), new Map(planned(after))];
  /** @type {Was} */
  const was = {};
  for (const name of new Set([...then.keys(), ...now.keys(), .../** @type {Name[]} */ (Object.keys(held))])) {
    const first = name in held ? held[name] ?? null : then.get(name) ?? null;
    if (first !== (now.get(name) ?? null)) was[name] = first;
  }
  return was;
}
