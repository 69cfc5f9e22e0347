// @ts-check
/**
 * What to send, and what each outcome of the server makes of a fact on the phone.
 * Pure: no storage, no network.
 * @typedef {import("./facts.js").OwnRow} OwnRow
 * @typedef {import("./facts.js").Fact} Fact
 * @typedef {{id: string | null, outcome: string, cseq?: number, after?: number,
 *   rivals?: any[], with?: any[], problem?: any}} Outcome
 */

export const BATCH_MOST = 500;
// The server's bound is 256 KiB unpacked; what is around the facts needs some of it.
export const BATCH_BYTES = 240 * 1024;

/** A row's fact as it is sent. @param {OwnRow} row */
export const factSent = ({ fact, carried }) =>
  carried ? { ...fact, carried: { key: carried.key, signature: carried.signature } } : fact;

/**
 * The first facts that fit one push, oldest number first. One fact alone always goes.
 * @param {OwnRow[]} rows kept rows, by seq
 * @param {number} most
 * @returns {OwnRow[]}
 */
export function batchPick(rows, most = BATCH_MOST) {
  const bytes = new TextEncoder();
  let size = 0;
  /** @type {OwnRow[]} */
  const batch = [];
  for (const row of rows) {
    size += bytes.encode(JSON.stringify(factSent(row))).length + 1;
    if (batch.length && (batch.length >= most || size > BATCH_BYTES)) break;
    batch.push(row);
  }
  return batch;
}

/**
 * The changes to make on the phone. A fact the reply does not name stays as it is.
 * @param {OwnRow[]} batch
 * @param {Outcome[]} outcomes
 * @returns {{changed: Map<string, Partial<OwnRow>>, clashed: string[], later: number}}
 *   `later` is the longest wait in seconds that the server asked for, 0 for none
 */
export function outcomesRead(batch, outcomes) {
  const sent = new Map(batch.map((row) => [row.id, row]));
  /** @type {Map<string, Partial<OwnRow>>} */
  const changed = new Map();
  /** @type {string[]} */
  const clashed = [];
  let later = 0;
  for (const one of outcomes) {
    if (!one || typeof one.id !== "string" || !sent.has(one.id)) continue;
    if (one.outcome === "later") later = Math.max(later, Number(one.after) || 1);
    // What another signed takes no new id here: their own phone gives it one.
    else if (one.outcome === "clash" && !sent.get(one.id)?.carried) clashed.push(one.id);
    else {
      const change = outcomeChange(one);
      if (change) changed.set(one.id, change);
    }
  }
  return { changed, clashed, later };
}

/** @param {Outcome} one @returns {Partial<OwnRow> | null} */
function outcomeChange(one) {
  switch (one.outcome) {
    case "accepted":
    case "duplicate":
    case "waiting":
      return { state: "sent", outcome: one.outcome, cseq: one.cseq };
    case "disagrees":
      return {
        state: "sent", outcome: "disagrees", cseq: one.cseq, rivals: one.rivals ?? one.with ?? [],
      };
    case "clash":
    case "refused":
      return { state: "refused", outcome: one.outcome, problem: one.problem ?? {} };
    default:
      // A word of a later server: unknown, so it stays.
      return null;
  }
}
