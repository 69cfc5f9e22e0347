// @ts-check
/**
 * The phone's own disk: the only file that knows Dexie. Strict durability, so that a fact called
 * kept is on the disk; a time limit on every write, because some engines hang near the quota;
 * and one try more when the handle has died.
 */
import { Dexie } from "./vendor/dexie.js";
import { factMake } from "./facts.js";
import { inTime, notKept, NotKept } from "./in-time.js";
import { uuid7 } from "./uuid7.js";

/**
 * @typedef {import("./facts.js").OwnRow} OwnRow
 * @typedef {import("./facts.js").Draft} Draft
 * @typedef {{id: string, name: string}} Person
 * @typedef {{kept: number, sent: number, refused: number, dispute: number}} Counts
 */

export { NotKept };
export const WRITE_LIMIT_MS = 5_000;
export const SENT_KEPT_MS = 30 * 24 * 3_600_000;
const DIED = new Set(["DatabaseClosedError", "InvalidStateError", "UnknownError", "AbortError"]);

/** @param {string} [name] @param {Record<string, any>} [engine] for tests */
export function storeOpen(name = "drawbag-bank", engine = {}) {
  // One line a released version, never changed afterwards; a later one adds its own upgrade.
  const db = new Dexie(name, { chromeTransactionDurability: "strict", ...engine });
  db.version(1).stores({
    facts: "&id, person, [person+state], [person+match]",
    matches: "&[person+id], person",
    pulled: "&[person+id], [person+match]",
    meta: "&key",
  });
  // Another tab with a newer app may upgrade: let go, and open anew when next asked.
  db.on("versionchange", () => db.close({ disableAutoOpen: false }));
  return new Store(db);
}

export class Store {
  /** @param {any} db */
  constructor(db) {
    this.db = db;
    this.limit = WRITE_LIMIT_MS;
  }

  /**
   * Keep one fact: fact, number and its place in the outbox in one transaction. Resolves once
   * the transaction is complete. A draft whose first try was kept after all is given back as it
   * was; changed meanwhile, it corrects that one.
   * @param {Person} person @param {Draft} draft @param {{now: number, offset: number}} clock
   * @returns {Promise<OwnRow>}
   */
  factKeep(person, draft, { now, offset }) {
    return this.#write(["facts", "meta"], async () => {
      const before = await this.db.facts.get(draft.id);
      if (before && sameBody(before.fact, draft)) return before;
      const to = before ? { ...draft, id: uuid7(), supersedes: before.id } : draft;
      const { device, seq } = await this.#numberTake(person.id, 1);
      const fact = factMake(to, { device, seq, now, offset });
      /** @type {OwnRow} */
      const row = {
        id: fact.id, person: person.id, match: fact.match, state: "kept", fact, kept_at: now,
      };
      await this.db.facts.add(row);
      return row;
    });
  }

  /** The person's phone and the last number it gave, `more` further. @param {string} personId @param {number} more */
  async #numberTake(personId, more) {
    const key = `device:${personId}`;
    const row = (await this.db.meta.get(key)) ?? { key, device: crypto.randomUUID(), seq: 0 };
    row.seq += more;
    await this.db.meta.put(row);
    return row;
  }

  /** The person's phone, made known at need. @param {string} personId @returns {Promise<string>} */
  async deviceOf(personId) {
    return (await this.#write(["meta"], () => this.#numberTake(personId, 0))).device;
  }

  /** @param {string} personId @param {string} state @returns {Promise<OwnRow[]>} by number */
  async factsIn(personId, state) {
    const rows = await this.#read(() => this.db.facts.where({ person: personId, state }).toArray());
    return rows.sort((/** @type {OwnRow} */ a, /** @type {OwnRow} */ b) => a.fact.seq - b.fact.seq);
  }

  /** @param {string} personId @param {string} match @returns {Promise<OwnRow[]>} */
  async factsOf(personId, match) {
    const rows = await this.#read(() => this.db.facts.where({ person: personId, match }).toArray());
    return rows.sort((/** @type {OwnRow} */ a, /** @type {OwnRow} */ b) => a.fact.seq - b.fact.seq);
  }

  /** @param {string} personId @returns {Promise<Counts>} */
  counts(personId) {
    return this.#read(async () => {
      const of = (/** @type {string} */ state) => this.db.facts.where({ person: personId, state });
      const [kept, sent, refused, dispute] = await Promise.all([
        of("kept").count(), of("sent").count(), of("refused").count(),
        of("sent").filter((/** @type {OwnRow} */ r) => r.outcome === "disagrees").count(),
      ]);
      return { kept, sent, refused, dispute };
    });
  }

  /**
   * Write down what the server said of a batch, in one transaction.
   * @param {Map<string, Partial<OwnRow>>} changed @param {string[]} clashed @param {number} now
   */
  outcomesKeep(changed, clashed, now) {
    return this.#write(["facts"], async () => {
      for (const [id, change] of changed) {
        const sent = change.state === "sent" ? { sent_at: now } : {};
        await this.db.facts.update(id, { ...change, ...sent });
      }
      for (const id of clashed) await this.#renumber(id);
    });
  }

  /**
   * Somebody's other fact has this id: ours takes a new one and stays to be sent, and what we
   * wrote about ours follows it.
   * @param {string} id
   */
  async #renumber(id) {
    const row = await this.db.facts.get(id);
    if (!row) return;
    const made = uuid7();
    await this.db.facts.delete(id);
    const fact = { ...row.fact, id: made };
    await this.db.facts.add({ ...row, id: made, fact, state: "kept", clash_of: id });
    await this.db.facts
      .where({ person: row.person, match: row.match })
      .filter((/** @type {OwnRow} */ r) => r.state === "kept" && r.fact.supersedes === id)
      .modify((/** @type {OwnRow} */ r) => { r.fact.supersedes = made; });
  }

  /** A refused fact is put aside by its writer: only then does it leave. @param {string} id */
  refusedDrop(id) {
    return this.#write(["facts"], () =>
      this.db.facts.where({ id }).filter((/** @type {OwnRow} */ r) => r.state === "refused").delete());
  }

  /**
   * The server was put back from a copy: offer again what it said it had.
   * @param {string} personId @param {string} match @param {number} now
   * @returns {Promise<number>}
   */
  sentOfferAgain(personId, match, now) {
    return this.#write(["facts"], () =>
      this.db.facts
        .where({ person: personId, match })
        .filter((/** @type {OwnRow} */ r) =>
          r.state === "sent" && (r.sent_at ?? 0) > now - SENT_KEPT_MS)
        .modify({ state: "kept" }));
  }

  /** What was sent long ago is the server's alone. @param {number} now */
  sentForget(now) {
    return this.#write(["facts"], () =>
      this.db.facts
        .filter((/** @type {OwnRow} */ r) =>
          r.state === "sent" && (r.sent_at ?? now) < now - SENT_KEPT_MS)
        .delete());
  }

  /**
   * Take in rows saved from this or another phone. Those here already stay as they are.
   * @param {Person} person @param {import("./facts.js").Fact[]} facts @param {number} now
   * @returns {Promise<{fresh: number, differ: number}>} how many are new, and how many say
   *   something else than the same here
   */
  factsTakeIn(person, facts, now) {
    return this.#write(["facts"], async () => {
      let [fresh, differ] = [0, 0];
      for (const fact of facts) {
        const here = await this.db.facts.get(fact.id);
        if (here && !sameBody(here.fact, fact)) differ += 1;
        if (here) continue;
        await this.db.facts.add({
          id: fact.id, person: person.id, match: fact.match, state: "kept", fact, kept_at: now,
        });
        fresh += 1;
      }
      return { fresh, differ };
    });
  }

  /** @param {string} personId @param {any} pack @param {string | null} etag @param {number} now */
  packageKeep(personId, pack, etag, now) {
    return this.#write(["matches"], () =>
      this.db.matches.put({ person: personId, id: String(pack.match.id), pack, etag, at: now }));
  }

  /** @param {string} personId @param {string} id */
  packageOf(personId, id) {
    return this.#read(() => this.db.matches.get([personId, id]));
  }

  /** @param {string} personId @returns {Promise<any[]>} */
  packages(personId) {
    return this.#read(() => this.db.matches.where({ person: personId }).toArray());
  }

  /** @param {string} personId @param {string} match @returns {Promise<any[]>} in the club's order */
  async pulledOf(personId, match) {
    const rows = await this.#read(() =>
      this.db.pulled.where({ person: personId, match }).toArray());
    return rows.map((/** @type {any} */ row) => row.fact)
      .sort((/** @type {any} */ a, /** @type {any} */ b) => a.cseq - b.cseq);
  }

  /**
   * One page of the server's facts and where to go on, together or not at all.
   * @param {string} personId @param {string} match
   * @param {{facts: any[], next: string | null, epoch: string}} page
   */
  pageKeep(personId, match, { facts, next, epoch }) {
    return this.#write(["pulled", "meta"], async () => {
      await this.db.pulled.bulkPut(
        facts.map((fact) => ({ person: personId, id: fact.id, match, fact })));
      const key = `cursor:${personId}:${match}`;
      const before = await this.db.meta.get(key);
      await this.db.meta.put({ key, next: next ?? before?.next ?? null, epoch });
    });
  }

  /** Begin again from the start. @param {string} personId @param {string} match @param {string} epoch */
  pulledClear(personId, match, epoch) {
    return this.#write(["pulled", "meta"], async () => {
      await this.db.pulled.where({ person: personId, match }).delete();
      await this.db.meta.put({ key: `cursor:${personId}:${match}`, next: null, epoch });
    });
  }

  /** @param {string} personId @param {string} match */
  cursorOf(personId, match) {
    return this.metaGet(`cursor:${personId}:${match}`);
  }

  /** @param {string} key @returns {Promise<any>} */
  metaGet(key) {
    return this.#read(() => this.db.meta.get(key));
  }

  /** @param {string} key @param {Record<string, any>} values */
  metaPut(key, values) {
    return this.#write(["meta"], () => this.db.meta.put({ ...values, key }));
  }

  /**
   * Change one meta row with the old one in hand; used where no lock of the browser's is to be had.
   * @param {string} key @param {(row: any) => any} change gives the new row, or null to leave it
   * @returns {Promise<boolean>} whether it was changed
   */
  metaSwap(key, change) {
    return this.#write(["meta"], async () => {
      const next = change(await this.db.meta.get(key));
      if (!next) return false;
      await this.db.meta.put({ ...next, key });
      return true;
    });
  }

  /** @template T @param {() => Promise<T>} work @returns {Promise<T>} */
  #read(work) {
    return this.#again(() => inTime(work(), this.limit));
  }

  /** @template T @param {string[]} tables @param {() => Promise<T>} work @returns {Promise<T>} */
  #write(tables, work) {
    return this.#again(() => inTime(this.db.transaction("rw", tables, work), this.limit));
  }

  /** Once more after a dead handle. @template T @param {() => Promise<T>} work @returns {Promise<T>} */
  async #again(work) {
    try {
      return await work();
    } catch (error) {
      if (!(error instanceof Error) || !DIED.has(error.name)) throw notKept(error);
      try {
        this.db.close({ disableAutoOpen: false });
        await inTime(this.db.open(), this.limit);
        return await work();
      } catch (second) {
        throw notKept(second);
      }
    }
  }
}

/** @param {import("./facts.js").Fact} fact @param {Draft} draft */
function sameBody(fact, draft) {
  return JSON.stringify(fact.body) === JSON.stringify(draft.body);
}
