// @ts-check
/**
 * The phone's own disk: the only file that knows Dexie. Strict durability, so that a fact called
 * kept is on the disk. Nothing here reads all there is for one tap.
 */
import { Dexie } from "./vendor/dexie.js";
import { Disk } from "./disk.js";
import { CARRIED, factMake } from "./facts.js";
import { NotKept } from "./in-time.js";
import { uuid7 } from "./uuid7.js";

/**
 * @typedef {import("./facts.js").OwnRow} OwnRow
 * @typedef {import("./facts.js").Draft} Draft
 * @typedef {{id: string, name: string}} Person
 * @typedef {{kept: number, sent: number, refused: number}} Counts
 */

export { NotKept };
export const SENT_KEPT_MS = 30 * 24 * 3_600_000;

/** This phone’s store. @param {string} [name] @param {Record<string, any>} [engine] for tests */
export function storeOpen(name = "drawbag-bank", engine = {}) {
  // One line a released version, never changed afterwards; a later one adds its own upgrade.
  const db = new Dexie(name, { chromeTransactionDurability: "strict", ...engine });
  db.version(1).stores({
    facts: "&id, person, [person+state], [person+match]",
    matches: "&[person+id], person",
    pulled: "&[person+id], [person+match]",
    meta: "&key",
  });
  db.version(2).stores({ facts: "&id, person, [person+state], [person+match], [person+outcome]" });
  // Another tab with a newer app may upgrade: let go, and open anew when next asked.
  db.on("versionchange", () => db.close({ disableAutoOpen: false }));
  return new Store(db);
}

export class Store extends Disk {
  /**
   * Keep one fact: fact, number and its place in the outbox in one transaction. Resolves once
   * the transaction is complete. A draft whose first try was kept after all is given back as it
   * was; changed meanwhile, it corrects that one.
   * @param {Person} person @param {Draft} draft @param {{now: number, offset: number}} clock
   * @returns {Promise<OwnRow>}
   */
  async factKeep(person, draft, { now, offset }) {
    const device = `device:${person.id}`;
    const keep = async () => {
      // Asked for at once, and written at once: each way to the disk and back is felt by a thumb.
      const [before, last] = await Promise.all(
        [this.db.facts.get(draft.id), this.db.meta.get(device)]);
      if (before && sameBody(before.fact, draft)) return { row: before, was: before.state };
      const to = before ? { ...draft, id: uuid7(), supersedes: before.id } : draft;
      const number = { ...(last ?? deviceNew(device)), seq: (last?.seq ?? 0) + 1 };
      const fact = factMake(to, { device: number.device, seq: number.seq, now, offset });
      /** @type {OwnRow} */
      const row = {
        id: fact.id, person: person.id, match: fact.match, state: "kept", fact, kept_at: now,
      };
      await Promise.all([this.db.meta.put(number), this.db.facts.add(row)]);
      return { row, was: null };
    };
    const { row } = await this.write(["facts", "meta"], keep, (kept) => this.recall.rowsWritten([kept]));
    return row;
  }

  /** The person's phone, made known at need. @param {string} personId @returns {Promise<string>} */
  async deviceOf(personId) {
    const key = `device:${personId}`;
    const known = await this.metaGet(key);
    if (known) return known.device;
    return this.write(["meta"], async () => {
      const row = (await this.db.meta.get(key)) ?? deviceNew(key);
      await this.db.meta.put(row);
      return row.device;
    }, nothingChanged);
  }

  /**
   * @param {string} personId @param {string} state
   * @param {number} [most] no more than the first so many by id, which is about the order of making
   * @returns {Promise<OwnRow[]>} by number
   */
  async factsIn(personId, state, most = Infinity) {
    const rows = await this.read(() =>
      this.db.facts.where({ person: personId, state }).limit(most).toArray());
    return rows.sort(bySeq);
  }

  /** What somebody logged differently, when it was sent. @param {string} personId @returns {Promise<OwnRow[]>} */
  async factsDisputed(personId) {
    const rows = await this.read(() =>
      this.db.facts.where({ person: personId, outcome: "disagrees" }).toArray());
    return rows.filter((/** @type {OwnRow} */ row) => row.state === "sent").sort(bySeq);
  }

  /** @param {string} personId @param {string} match @returns {Promise<OwnRow[]>} by number */
  factsOf(personId, match) {
    return this.recall.of(`own:${personId}:${match}`, async () => {
      const rows = await this.read(() => this.db.facts.where({ person: personId, match }).toArray());
      return rows.sort(bySeq);
    });
  }

  /** @param {string} personId @returns {Promise<Counts>} */
  counts(personId) {
    return this.recall.of(`counts:${personId}`, () => this.read(async () => {
      const [kept, sent, refused] = await Promise.all(["kept", "sent", "refused"].map(
        (state) => this.db.facts.where({ person: personId, state }).count()));
      return { kept, sent, refused };
    }));
  }

  /**
   * Write down what the server said of a batch, in one transaction.
   * @param {Map<string, Partial<OwnRow>>} changed @param {string[]} clashed @param {number} now
   */
  outcomesKeep(changed, clashed, now) {
    const keep = async () => {
      const rows = await this.db.facts.bulkGet([...changed.keys()]);
      const written = rows.filter(Boolean).map((/** @type {OwnRow} */ before) => {
        const change = changed.get(before.id);
        const sent = change?.state === "sent" ? { sent_at: now } : {};
        return { row: { ...before, ...change, ...sent }, was: before.state };
      });
      await this.db.facts.bulkPut(written.map((/** @type {any} */ one) => one.row));
      for (const id of clashed) await this.#renumber(id);
      return written;
    };
    return this.write(["facts"], keep, (written) =>
      (clashed.length ? this.recall.forget() : this.recall.rowsWritten(written)));
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

  /** @param {number} many */
  #ifAny = (many) => (many ? this.recall.forget() : undefined);

  /** A refused fact is put aside by its writer: only then does it leave. @param {string} id */
  refusedDrop(id) {
    return this.write(["facts"], () =>
      this.db.facts.where({ id }).filter((/** @type {OwnRow} */ r) => r.state === "refused").delete());
  }

  /**
   * The server was put back from a copy: offer again what it said it had.
   * @param {string} personId @param {string} match @param {number} now
   * @param {Set<string>} but what was sent a moment ago @returns {Promise<number>}
   */
  sentOfferAgain(personId, match, now, but) {
    return this.write(["facts"], () =>
      this.db.facts
        .where({ person: personId, match })
        .filter((/** @type {OwnRow} */ r) =>
          r.state === "sent" && (r.sent_at ?? 0) > now - SENT_KEPT_MS && !but.has(r.id))
        .modify({ state: "kept" }), this.#ifAny);
  }

  /** What was sent long ago is the server's alone. @param {number} now */
  sentForget(now) {
    return this.write(["facts"], () =>
      this.db.facts
        .filter((/** @type {OwnRow} */ r) =>
          r.state === "sent" && (r.sent_at ?? now) < now - SENT_KEPT_MS)
        .delete(), this.#ifAny);
  }

  /**
   * Take in rows saved from this or another phone. Those here already stay as they are.
   * @param {{id: string}} person @param {import("./facts.js").Fact[]} facts @param {number} now
   * @param {(id: string) => Partial<OwnRow>} [more] what else a fact's row says
   * @returns {Promise<{fresh: number, differ: number}>} how many are new, and how many say
   *   something else than the same here
   */
  factsTakeIn(person, facts, now, more = () => ({})) {
    return this.write(["facts"], async () => {
      let [fresh, differ] = [0, 0];
      for (const fact of facts) {
        const here = await this.db.facts.get(fact.id);
        if (here && !sameBody(here.fact, fact)) differ += 1;
        if (here && here.state !== "seen") continue;
        const { id, match } = fact;
        const row = { id, person: person.id, match, state: "kept", fact, kept_at: now, ...more(id) };
        if (row.state === here?.state) continue;
        await this.db.facts.put(row);
        fresh += 1;
      }
      return { fresh, differ };
    });
  }

  /** @param {string} personId @param {any} pack @param {string | null} etag @param {number} now */
  packageKeep(personId, pack, etag, now) {
    return this.write(["matches"], () =>
      this.db.matches.put({ person: personId, id: String(pack.match.id), pack, etag, at: now }),
    nothingChanged);
  }

  /** @param {string} personId @param {string} id */
  packageOf(personId, id) {
    return this.read(() => this.db.matches.get([personId, id]));
  }

  /** @param {string} personId @returns {Promise<any[]>} */
  packages(personId) {
    return this.read(() => this.db.matches.where({ person: personId }).toArray());
  }

  /** @param {string} personId @param {string} match @returns {Promise<any[]>} in the club's order */
  pulledOf(personId, match) {
    return this.recall.of(`pulled:${personId}:${match}`, async () => {
      const rows = await this.read(() =>
        this.db.pulled.where({ person: personId, match }).toArray());
      return rows.map((/** @type {any} */ row) => row.fact)
        .sort((/** @type {any} */ a, /** @type {any} */ b) => a.cseq - b.cseq);
    });
  }

  /**
   * One page of the server's facts and where to go on, together or not at all.
   * @param {string} personId @param {string} match
   * @param {{facts: any[], next: string | null, epoch: string, more?: boolean}} page
   */
  pageKeep(personId, match, { facts, next, epoch, more }) {
    return this.write(["pulled", "meta", "facts"], async () => {
      await this.db.pulled.bulkPut(
        facts.map((fact) => ({ person: personId, id: fact.id, match, fact })));
      const key = `cursor:${personId}:${match}`;
      const before = await this.db.meta.get(key);
      await this.db.meta.put({ key, next: next ?? before?.next ?? null, epoch });
      const seen = (/** @type {OwnRow} */ r) => r.state === "seen"; // from here on the server's
      const gone = more ? 0
        : await this.db.facts.where({ person: CARRIED, match }).filter(seen).delete();
      return facts.length + gone;
    }, this.#ifAny);
  }

  /** Begin again from the start. @param {string} personId @param {string} match @param {string} epoch */
  pulledClear(personId, match, epoch) {
    return this.write(["pulled", "meta"], async () => {
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
    return this.read(() => this.db.meta.get(key));
  }

  /** @param {string} key @param {Record<string, any>} values */
  metaPut(key, values) {
    return this.write(["meta"], () => this.db.meta.put({ ...values, key }), nothingChanged);
  }

  /**
   * Change one meta row with the old one in hand; used where no lock of the browser's is to be had.
   * @param {string} key @param {(row: any) => any} change gives the new row, or null to leave it
   * @returns {Promise<boolean>} whether it was changed
   */
  metaSwap(key, change) {
    return this.write(["meta"], async () => {
      const next = change(await this.db.meta.get(key));
      if (!next) return false;
      await this.db.meta.put({ ...next, key });
      return true;
    }, nothingChanged);
  }
}

const nothingChanged = () => {};
/** @param {string} key */
const deviceNew = (key) => ({ key, device: crypto.randomUUID(), seq: 0 });
const bySeq = (/** @type {OwnRow} */ a, /** @type {OwnRow} */ b) => a.fact.seq - b.fact.seq;

/** @param {import("./facts.js").Fact} fact @param {Draft} draft */
function sameBody(fact, draft) {
  return JSON.stringify(fact.body) === JSON.stringify(draft.body);
}
