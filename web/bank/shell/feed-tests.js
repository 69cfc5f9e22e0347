// @ts-check
/**
 * Jar tests: how fast a feed sinks by the drops that were timed, and whose test counts. The same
 * rule as bait/reckon/feed_tests.py, held to the same table of cases.
 * @typedef {[jarCm: number, ms: number | null]} Drop ms is null where it floats
 * @typedef {{bait: string, match: string, date: string, author: {id: string, name: string},
 *   drops: Drop[], aside: boolean}} FeedTest one person's drops of one bait in one match
 * @typedef {{mean: number, sd: number, drops: number}} Timed m/s, and of how many drops
 */
import { byOrder, inForce } from "./facts.js";

/** From and to: centimetres of water in a jar. */
export const JAR_CM = /** @type {const} */ ([5, 200]);
/** Nothing falls through a jar in less: that was a finger, not a bait. */
export const QUICKEST_MS = 200;
export const SLOWEST_MS = 600_000;
/** What sinks slower hangs in the water, and what is quicker was measured wrongly; mm/s. */
const SINK_MM_S = /** @type {const} */ ([1, 5_000]);
/** From so many drops on a test says how far single ones stray (from memory). */
export const FULL_DROPS = 3;
/** Of a longer test the last so many count. */
export const DROPS_MOST = 100;

/** Metres a second. @param {number} jarCm @param {number} ms */
export const sinkOf = (jarCm, ms) => (jarCm * 10) / ms;

/**
 * What is wrong with a drop as the watch and the ruler say it, or null.
 * @param {number} jarCm @param {number} ms @returns {"jar" | "quick" | "long" | "speed" | null}
 */
export function dropOdd(jarCm, ms) {
  if (!Number.isInteger(jarCm) || jarCm < JAR_CM[0] || jarCm > JAR_CM[1]) return "jar";
  if (!(ms >= QUICKEST_MS)) return "quick";
  if (ms > SLOWEST_MS) return "long";
  const speed = sinkOf(jarCm, ms) * 1000;
  return speed < SINK_MM_S[0] || speed > SINK_MM_S[1] ? "speed" : null;
}

/** Whether more of the drops that count float than sink. @param {{drops: Drop[]}} test */
export function testFloats({ drops }) {
  const counted = drops.slice(-DROPS_MOST);
  return 2 * counted.filter(([, ms]) => ms === null).length > counted.length;
}

/** How fast it sinks; null where it floats. @param {{drops: Drop[]}} test @returns {Timed | null} */
export function testTimed(test) {
  if (!test.drops.length || testFloats(test)) return null;
  const speeds = test.drops.slice(-DROPS_MOST)
    .flatMap(([jarCm, ms]) => (ms === null ? [] : [sinkOf(jarCm, ms)]));
  const mean = speeds.reduce((sum, speed) => sum + speed, 0) / speeds.length;
  const squares = speeds.reduce((sum, speed) => sum + (speed - mean) ** 2, 0);
  const sd = speeds.length > 1 ? Math.sqrt(squares / (speeds.length - 1)) : 0;
  return { mean, sd, drops: speeds.length };
}

/**
 * The test of a bait that counts: the newest of three drops or more; while there is none, the one
 * of most drops. On the same day the one of more drops, then one's own.
 * @param {FeedTest[]} tests of one bait @param {string} own @returns {FeedTest | null}
 */
export function testChosen(tests, own) {
  const left = tests.filter((test) => test.drops.length && !test.aside);
  return left.reduce((best, test) => (best && before(best, test, own) ? best : test),
    /** @type {FeedTest | null} */ (null));
}

/** @param {FeedTest} a @param {FeedTest} b @param {string} own */
function before(a, b, own) {
  const [one, other] = [a, b].map((test) => weightOf(test, own));
  const n = one.findIndex((value, at) => value !== other[at]);
  return n < 0 || one[n] > other[n];
}

/** @param {FeedTest} test @param {string} own @returns {(number | string | boolean)[]} */
function weightOf({ drops, date, author, match }, own) {
  const full = drops.length >= FULL_DROPS;
  return [full, full ? date : "", drops.length, date, author.id === own, Number(match), -Number(author.id)];
}

/**
 * Everybody's tests as far as this phone knows: those of earlier matches that came with this one,
 * and what was timed in it by oneself and the team.
 * @param {any} pack @param {import("./facts.js").Known[]} known
 * @param {{id: string, name: string}} person @returns {FeedTest[]}
 */
export function testsKnown(pack, known, person) {
  const shared = new Set([person.id, ...(pack.mates ?? [])]);
  /** @type {Map<string, FeedTest>} */
  const tests = new Map();
  /** @type {Map<string, boolean>} what was said last of each */
  const aside = new Map();
  for (const k of inForce(known).slice().sort(byOrder)) {
    const author = k.own ? { id: k.own.person, name: person.name } : k.author;
    if (k.fact.kind !== "feed_test" || !author || !shared.has(author.id)) continue;
    const { bait, jar_cm: jarCm = JAR_CM[0], ms = null, aside: left, again } = k.fact.body;
    const of = left ?? again;
    if (of) {
      if (author.id === person.id) aside.set(keyOf(bait, of.match, of.author), Boolean(left));
      continue;
    }
    if (ms !== null && dropOdd(jarCm, ms)) continue; // a file edited by hand may hold anything
    const key = keyOf(bait, pack.match.id, author.id);
    const test = tests.get(key)
      ?? { bait, match: pack.match.id, date: pack.match.date, author, drops: [], aside: false };
    tests.set(key, { ...test, drops: [...test.drops, [jarCm, ms]] });
  }
  return [...tests.values(), ...(pack.feed_tests ?? [])].map((test) =>
    ({ ...test, aside: aside.get(keyOf(test.bait, test.match, test.author.id)) ?? test.aside }));
}

const keyOf = (/** @type {string[]} */ ...parts) => parts.join("|");

/** The one that counts of each bait. @param {FeedTest[]} tests @param {string} own
 * @returns {Map<string, FeedTest>} */
export function testsCounting(tests, own) {
  const chosen = [...new Set(tests.map(({ bait }) => bait))]
    .map((bait) => testChosen(tests.filter((test) => test.bait === bait), own));
  return new Map(chosen.flatMap((test) => (test ? [[test.bait, test]] : [])));
}
