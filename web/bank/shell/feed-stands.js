// @ts-check
/**
 * How the feeding stands: what went in of a stage and of the bag. Exact fractions in whole
 * numbers; the server says what one of each unit is.
 * @typedef {{n: bigint, d: bigint}} Part
 * @typedef {import("./feed-due.js").Fed} Fed
 */
import { amountPlain, partsOf, partsText } from "./feed.js";
import { stageOf } from "./lines.js";

const NONE = { n: 0n, d: 1n };

/** "n/d" or a decimal, exactly. @param {string} text @returns {Part} */
export function part(text) {
  const [whole, below] = text.split("/");
  if (below) return { n: BigInt(whole), d: BigInt(below) };
  const [left, right = ""] = text.split(".");
  return { n: BigInt(left + right), d: 10n ** BigInt(right.length) };
}

/** @param {Part} a @param {Part} b */
const add = (a, b) => ({ n: a.n * b.d + b.n * a.d, d: a.d * b.d });
/** @param {Part} a */
const less = (a) => ({ n: -a.n, d: a.d });
/** @param {Part} a @param {Part} b */
const times = (a, b) => ({ n: a.n * b.n, d: a.d * b.d });

/** To the hundredth: `round` half up, else down; never below nought. @param {Part} a @param {boolean} [round] */
export function partText({ n, d }, round = true) {
  const cents = n <= 0n ? 0n : (n * 100n + (round ? d / 2n : 0n)) / d;
  return amountPlain(`${cents / 100n}.${String(cents % 100n).padStart(2, "0")}`) ?? "0";
}

/**
 * What went in of one stage against what it plans, by bait, in the plan's units. `sure` is false
 * where a note's unit does not fit, or the package is older than this.
 * @param {any} pack @param {Fed[]} fed @param {number} i
 * @returns {{name: string, unit: string, fed: string, planned: string, sure: boolean}[]}
 */
export function stageStands(pack, fed, i) {
  const stage = pack.plan.stages[i];
  const count = pack.feeding?.throws?.[i];
  return stage.feeds.map((/** @type {any} */ feed) => {
    const one = measure(pack, feed.bait, feed.unit);
    const mine = fed.filter((f) => f.bait === feed.bait && stageOf(pack.plan, f) === i);
    const { sum, sure } = sumOf(pack, feed.bait, mine, feed.unit);
    return {
      name: feed.name, unit: feed.unit,
      fed: partText(one ? times(sum, { n: one.d, d: one.n }) : sum),
      planned: partText(times(part(String(feed.amount)), { n: BigInt(count ?? 1), d: 1n })),
      sure: sure && count !== undefined,
    };
  });
}

/** What one of a unit is in the bait's own. @param {any} pack @param {string} bait @param {string} unit */
function measure(pack, bait, unit) {
  const text = pack.feeding?.measures?.[bait]?.[unit];
  return text ? part(text) : null;
}

/** In the bait's own unit; without measures, in `unit` alone. @param {any} pack @param {string} bait @param {Fed[]} fed @param {string} unit */
function sumOf(pack, bait, fed, unit) {
  let sum = NONE;
  let sure = true;
  const bare = !measure(pack, bait, unit);
  for (const f of fed) {
    const one = bare ? (f.unit === unit ? { n: 1n, d: 1n } : null) : measure(pack, bait, f.unit);
    if (one) sum = add(sum, times(part(f.amount), one));
    else sure = false;
  }
  return { sum, sure };
}

/**
 * The bag less what the mixes wet and what was noted, by bait of the bag, in its unit. `over`: more
 * was noted than it held.
 * @param {any} pack @param {Fed[]} fed
 * @returns {{name: string, unit: string, left: string, of: string, over: boolean, sure: boolean}[]}
 */
export function bagLeft(pack, fed) {
  return (pack.bag ?? []).map((/** @type {any} */ b) => {
    const bag = part(String(b.amount));
    const wet = pack.feeding?.mixed?.[b.bait];
    const { sum, sure } = sumOf(pack, b.bait, fed.filter((f) => f.bait === b.bait), b.unit);
    const left = add(bag, less(add(sum, wet ? part(wet) : NONE)));
    return {
      name: b.name, unit: b.unit, left: partText(left, false), of: partText(bag, false),
      over: left.n < 0n, sure,
    };
  });
}

/**
 * What went in, by bait and unit, in the order of first use.
 * @param {{name: string, amount: string, unit: string}[]} notes
 */
export function feedTotals(notes) {
  /** @type {Map<string, {name: string, unit: string, parts: bigint}>} */
  const sums = new Map();
  for (const { name, amount, unit } of notes) {
    const key = `${name}|${unit}`;
    const sum = sums.get(key) ?? { name, unit, parts: 0n };
    sum.parts += partsOf(amount);
    sums.set(key, sum);
  }
  return [...sums.values()].map(({ name, unit, parts }) => ({ name, unit, amount: partsText(parts) }));
}
