// @ts-check
/**
 * Keeping a fact as a person sees it: the tick, ten seconds to take it back, or honest words.
 */
import { bag } from "./bag.js";
import { keptFeel } from "./feel.js";
import { NotKept } from "./store.js";
import { uuid7 } from "./uuid7.js";
import { words } from "./words.js";

export const UNDO_MS = 10_000;

/**
 * `before`: what the fact corrected, so that taking it back leaves that in force again.
 * @typedef {{what: string, row: import("./facts.js").OwnRow | null,
 *   before?: import("./facts.js").Fact | null}} Lately
 * @type {{lately: Lately | null, failed: string | null}}
 */
export const keeping = { lately: null, failed: null };
/** @type {any} */
let timer = 0;

/**
 * Keep a fact and show that it is kept, or that it is not.
 * @param {import("./facts.js").Draft} draft
 * @param {string} what in words, for the tick
 * @param {import("./facts.js").Fact | null} [before] what it corrects
 * @returns {Promise<boolean>}
 */
export async function factLog(draft, what, before = null) {
  try {
    const row = await bag.keep(draft);
    show({ what, row, before });
    keptFeel();
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
 * Take back what was logged last. A correction is taken back by one that says what stood before.
 * @param {Lately} lately
 */
export async function latelyUndo({ row, before }) {
  if (!row) return;
  if (!before) return factScratch(row.fact);
  const { kind, match, peg, body } = before;
  const draft = { id: uuid7(), kind, match, peg, supersedes: row.id, body };
  if (await factLog(draft, words.undone)) show({ what: words.undone, row: null });
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
