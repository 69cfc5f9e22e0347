// @ts-check
/**
 * Keeping a fact as a person sees it: the tick, ten seconds to take it back, or honest words.
 */
import { bag } from "./bag.js";
import { NotKept } from "./store.js";
import { uuid7 } from "./uuid7.js";
import { words } from "./words.js";

export const UNDO_MS = 10_000;

/**
 * @typedef {{what: string, row: import("./facts.js").OwnRow | null}} Lately
 * @type {{lately: Lately | null, failed: string | null}}
 */
export const keeping = { lately: null, failed: null };
/** @type {any} */
let timer = 0;

/**
 * Keep a fact and show that it is kept, or that it is not.
 * @param {import("./facts.js").Draft} draft
 * @param {string} what in words, for the tick
 * @returns {Promise<boolean>}
 */
export async function factLog(draft, what) {
  try {
    const row = await bag.keep(draft);
    show({ what, row });
    navigator.vibrate?.(30);
    return true;
  } catch (error) {
    if (!(error instanceof NotKept)) throw error;
    keeping.failed = bag.person ? words.notKept : words.nobody;
    keeping.lately = null;
    bag.dispatchEvent(new Event("change"));
    return false;
  }
}

/**
 * Withdraw a fact by another that says so: nothing logged is ever deleted.
 * @param {import("./facts.js").Fact} fact
 */
export async function factScratch(fact) {
  const draft = {
    id: uuid7(),
    kind: /** @type {const} */ ("scratch"),
    match: fact.match,
    peg: fact.peg,
    supersedes: fact.id,
    body: { why: "taken back on the phone" },
  };
  if (await factLog(draft, words.undone)) show({ what: words.undone, row: null });
}

/** @param {Lately} lately */
function show(lately) {
  keeping.lately = lately;
  keeping.failed = null;
  clearTimeout(timer);
  timer = setTimeout(() => {
    keeping.lately = null;
    bag.dispatchEvent(new Event("change"));
  }, UNDO_MS);
  bag.dispatchEvent(new Event("change"));
}
