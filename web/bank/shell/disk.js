// @ts-check
/**
 * Reading and writing with a time limit, because some engines hang near the quota, and one try
 * more when the handle has died; what was read is remembered until something is written.
 * @typedef {import("./facts.js").OwnRow} OwnRow
 * @typedef {{kept: number, sent: number, refused: number}} Counts
 */
import { inTime, notKept } from "./in-time.js";

export const WRITE_LIMIT_MS = 5_000;
const DIED = new Set(["DatabaseClosedError", "InvalidStateError", "UnknownError", "AbortError"]);

export class Disk {
  /** @param {any} db */
  constructor(db) {
    this.db = db;
    this.limit = WRITE_LIMIT_MS;
    this.opened = false;
    this.recall = new Recall();
  }

  /** @template T @param {() => Promise<T>} work @returns {Promise<T>} */
  read(work) {
    return this.#again(() => inTime(work(), this.limit));
  }

  /**
   * One transaction. `then` tells the memory what it changed, also when it ends after we gave up
   * waiting; left out, all is forgotten.
   * @template T @param {string[]} tables @param {() => Promise<T>} work
   * @param {(result: T) => void} [then] @returns {Promise<T>}
   */
  write(tables, work, then = () => this.recall.forget()) {
    return this.#again(() => {
      const done = this.recall.during(() => this.db.transaction("rw", tables, work), then);
      return inTime(done, this.limit);
    });
  }

  /** Once more after a dead handle. @template T @param {() => Promise<T>} work @returns {Promise<T>} */
  async #again(work) {
    try {
      const done = await work();
      this.opened = true;
      return done;
    } catch (error) {
      this.#openingGiveUp();
      if (!(error instanceof Error) || !DIED.has(error.name)) throw notKept(error);
      try {
        this.db.close({ disableAutoOpen: false });
        await inTime(this.db.open(), this.limit);
        return await work();
      } catch (second) {
        this.#openingGiveUp();
        throw notKept(second);
      }
    }
  }

  /** One that never ends, after a handle died: the next try opens anew. */
  #openingGiveUp() {
    if (!this.opened || this.db.isOpen()) return;
    this.db.close();
    this.db.close({ disableAutoOpen: false });
  }
}

/**
 * What was read, kept in memory, so that a tap reads nothing anew. Another tab's writes are not
 * seen here: it says so, and all is forgotten.
 */
class Recall {
  /** @type {Map<string, Promise<any>>} by what was asked */
  #read = new Map();
  #writes = 0;

  /**
   * The answer as it was read before, or read now. What is read while something is being written
   * may hold it or not, so it is not kept.
   * @template T @param {string} what @param {() => Promise<T>} read @returns {Promise<T>}
   */
  async of(what, read) {
    const known = this.#read.get(what) ?? read();
    if (this.#writes === 0) this.#read.set(what, known);
    try {
      return await known;
    } catch (error) {
      if (this.#read.get(what) === known) this.#read.delete(what);
      throw error;
    }
  }

  forget() {
    this.#read.clear();
  }

  /**
   * A write, and what it changed of what is remembered; a write that failed leaves nothing sure.
   * @template T @param {() => Promise<T>} write @param {(result: T) => void} then @returns {Promise<T>}
   */
  async during(write, then) {
    this.#writes += 1;
    try {
      const result = await write();
      then(result);
      return result;
    } catch (error) {
      this.forget();
      throw error;
    } finally {
      this.#writes -= 1;
    }
  }

  /**
   * Rows written, each with the state it had before (null: it is new).
   * @param {{row: OwnRow, was: OwnRow["state"] | null}[]} written
   */
  rowsWritten(written) {
    /** @type {Map<string, OwnRow[]>} */
    const lists = new Map();
    for (const { row, was } of written) {
      this.#change(`counts:${row.person}`, (counts) => counted(counts, row.state, was));
      const list = `own:${row.person}:${row.match}`;
      lists.set(list, [...(lists.get(list) ?? []), row]);
    }
    for (const [list, rows] of lists) this.#change(list, (before) => replaced(before, rows));
  }

  /** @param {string} what @param {(before: any) => any} change */
  #change(what, change) {
    const known = this.#read.get(what);
    if (!known) return;
    const changed = known.then(change);
    changed.catch(() => null); // told to whoever asks for it
    this.#read.set(what, changed);
  }
}

/** @param {Counts} counts @param {OwnRow["state"]} now @param {OwnRow["state"] | null} was */
function counted(counts, now, was) {
  const next = /** @type {Record<string, number>} */ ({ ...counts });
  if (was) next[was] -= 1;
  next[now] += 1;
  return next;
}

/** The list with these in place of the same, what is new at its end. @param {OwnRow[]} before @param {OwnRow[]} rows */
const replaced = (before, rows) =>
  [...new Map([...before, ...rows].map((row) => [row.id, row])).values()];
