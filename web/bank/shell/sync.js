// @ts-check
/**
 * The outbox emptied and the match fetched: who is signed in, push, pull, in that order.
 * Knows neither fetch nor the store's engine; both are handed in, as is the clock.
 */
import { timesWas } from "./clock.js";
import { CARRIED } from "./facts.js";
import { languageOfPerson } from "./language.js";
import { measuresOfPerson } from "./measures.js";
import { batchPick, factSent, outcomesRead, BATCH_MOST } from "./outcomes.js";

/**
 * @typedef {import("./store.js").Store} Store
 * @typedef {typeof import("./net.js")} Net
 * @typedef {"ok"|"no_signal"|"sign_in"|"busy"|"refused"|"other_person"} Signal
 * @typedef {{signal: Signal, after: number, person: {id: string, name: string} | null}} Result
 */

/** What stopped a run short of its end. */
class Stopped extends Error {
  /** @param {Signal} signal @param {number} [after] */
  constructor(signal, after = 0) {
    super(signal);
    this.signal = signal;
    this.after = after;
  }
}

export class Sync {
  /** What this run sent. @type {Set<string>} */
  #pushed = new Set();

  /**
   * @param {{store: Store, net: Net, app: () => string, now?: () => number,
   *   wanted?: () => string | null, known?: (person: {id: string}) => Promise<void>}} parts
   *   `wanted` is the match now open, fetched first; `known` hears who it is before all is fetched
   */
  constructor({ store, net, app, now = Date.now, wanted = () => null, known = async () => {} }) {
    Object.assign(this, { store, net, app, now, wanted, known });
    /** @type {Store} */ this.store = store;
    /** @type {Net} */ this.net = net;
    /** @type {() => string} */ this.app = app;
    /** @type {() => number} */ this.now = now;
    /** @type {() => string | null} */ this.wanted = wanted;
    /** @type {(person: {id: string}) => Promise<void>} */ this.known = known;
  }

  /**
   * One run. After a tap only what is kept goes out; the match is fetched at the other times.
   * @param {{pull: boolean}} how
   * @returns {Promise<Result>}
   */
  async run({ pull }) {
    /** @type {{id: string, name: string} | null} */
    let person = null;
    this.#pushed.clear();
    try {
      person = await this.#whoIsIt();
      let after = await this.#pushAll(person);
      if (pull && await this.#pullAll(person)) after = Math.max(after, await this.#pushAll(person));
      // It looks at all there is, so never after a tap.
      if (pull) await this.store.sentForget(this.now());
      return { signal: after ? "busy" : "ok", after, person };
    } catch (error) {
      if (!(error instanceof Stopped)) throw error;
      return { signal: error.signal, after: error.after, person };
    }
  }

  /** The session's person, not the one this phone remembers: a queue goes out as its owner's. */
  async #whoIsIt() {
    const me = bodyOf(await this.net.meGet());
    const person = { id: String(me.person.id), name: me.person.name };
    languageOfPerson(me.person.language ?? "");
    measuresOfPerson(me.person.measures ?? "");
    const { clubs, matches } = me;
    await this.store.metaPut(`me:${person.id}`, { clubs, matches, at: this.now() });
    await this.store.metaPut("person", { ...person, signed_out: false });
    await this.known(person);
    return person;
  }

  /**
   * @param {{id: string}} person
   * @returns {Promise<number>} seconds the server asked to wait, 0 for none
   */
  async #pushAll(person) {
    let most = BATCH_MOST;
    /** @type {Set<string>} What the server could not even read waits for the next run. */
    const unread = new Set();
    for (;;) {
      const own = await this.store.factsIn(person.id, "kept", BATCH_MOST + unread.size);
      const kept = [...own, ...(await this.#carried(person))];
      const batch = batchPick(kept.filter((row) => !unread.has(row.id)), most);
      if (!batch.length) return 0;
      const device = await this.store.deviceOf(person.id);
      const answer = await this.net.factsPost({
        device, app: this.app(), facts: batch.map(factSent),
      });
      if (isUnread(answer)) {
        if (batch.length === 1) await this.#alone(batch[0].id, answer, unread);
        most = batch.length === 1 ? BATCH_MOST : Math.ceil(batch.length / 2);
        continue;
      }
      const { changed, clashed, later } = outcomesRead(batch, bodyOf(answer).outcomes ?? []);
      await this.store.outcomesKeep(changed, clashed, this.now());
      for (const sent of changed.keys()) this.#pushed.add(sent);
      if (later) return later;
      // Nothing moved: asking again at once would go round for ever.
      if (!changed.size && !clashed.length) return 5;
    }
  }

  /** For mates, whoever is signed in, if it is of their clubs. @param {{id: string}} person */
  async #carried(person) {
    const me = await this.store.metaGet(`me:${person.id}`);
    const theirs = new Set(me.matches.map((/** @type {any} */ m) => String(m.id)));
    return (await this.store.factsIn(CARRIED, "kept")).filter((row) => theirs.has(row.match));
  }

  /**
   * One fact holds up no other: too large for the server, it is refused; unreadable, which a
   * connection can do to any, it stays.
   * @param {string} id @param {import("./net.js").Answer} answer @param {Set<string>} unread
   */
  async #alone(id, answer, unread) {
    if (answer.kind !== "too_large") {
      unread.add(id);
      return;
    }
    // Not our server's words: on the way no fact at all is taken.
    if (!isOurs(answer.problem, "too-large")) throw new Stopped("refused", 60);
    const change = /** @type {const} */ ({ state: "refused", outcome: "refused" });
    await this.store.outcomesKeep(
      new Map([[id, { ...change, problem: answer.problem }]]), [], this.now());
  }

  /**
   * @param {{id: string}} person
   * @returns {Promise<boolean>} whether facts are to be offered again
   */
  async #pullAll(person) {
    const me = await this.store.metaGet(`me:${person.id}`);
    const held = new Set((await this.store.packages(person.id)).map((row) => row.id));
    const ids = me.matches.map((/** @type {any} */ m) => String(m.id));
    const open = this.wanted();
    const first = open && ids.includes(open) ? [open] : [];
    const rest = ids.filter((/** @type {string} */ id) => id !== open && held.has(id));
    // Matches near today are fetched unasked: there may be no signal where they are fished.
    const near = me.matches.filter((/** @type {any} */ m) => this.#isNear(m.date));
    const more = near.map((/** @type {any} */ m) => String(m.id));
    let again = false;
    for (const id of new Set([...first, ...rest, ...more])) {
      if (await this.#pullMatch(person, id)) again = true;
    }
    return again;
  }

  /** @param {string} date */
  #isNear(date) {
    return Math.abs(Date.parse(date) - this.now()) < 8 * 24 * 3_600_000;
  }

  /** @param {{id: string}} person @param {string} id @returns {Promise<boolean>} */
  async #pullMatch(person, id) {
    const held = await this.store.packageOf(person.id, id);
    const answer = await this.net.packageGet(id, held?.etag ?? null);
    // A match that was taken away stays readable here; what was logged for it still goes out.
    if (answer.kind === "refused" && answer.status !== 403) return false;
    if (answer.kind !== "same") {
      const pack = bodyOf(answer);
      const etag = answer.kind === "ok" ? answer.etag : null;
      await this.#timesTell(person.id, id, held?.pack.match, pack.match);
      await this.store.packageKeep(person.id, pack, etag, this.now());
    }
    return this.#pullFacts(person, id);
  }

  /** Before the match itself is kept: a phone killed between tells it again, and never not at all.
   * @param {string} person @param {string} id @param {any} before @param {any} after */
  async #timesTell(person, id, before, after) {
    const key = wasKey(person, id);
    const held = (await this.store.metaGet(key))?.times ?? {};
    const times = timesWas(before, after, held);
    if (Object.keys({ ...held, ...times }).length) await this.store.metaPut(key, { times });
  }

  /** @param {{id: string}} person @param {string} id @returns {Promise<boolean>} */
  async #pullFacts(person, id) {
    let again = false;
    for (;;) {
      const cursor = await this.store.cursorOf(person.id, id);
      const page = bodyOf(await this.net.factsGet(id, cursor?.next ?? null));
      if (cursor?.epoch !== page.epoch) {
        // Before the epoch is kept, in case the phone dies between; and also where none was, for
        // what went out in an earlier run than the first fetch.
        const but = cursor?.epoch ? new Set() : this.#pushed;
        for (const whose of [person.id, CARRIED]) {
          again = (await this.store.sentOfferAgain(whose, id, this.now(), but)) > 0 || again;
        }
        if (cursor?.epoch) {
          await this.store.pulledClear(person.id, id, page.epoch);
          continue;
        }
      }
      await this.store.pageKeep(person.id, id, page);
      if (!page.more) {
        await this.store.metaPut(heardKey(person.id, id), { at: this.now() });
        return again;
      }
    }
  }
}

/** Whether a batch as it is will never be read: one of its facts is to be found.
 * @param {import("./net.js").Answer} answer */
const isUnread = (answer) => answer.kind === "too_large"
  || (answer.kind === "refused" && answer.status === 400 && isOurs(answer.problem, "malformed"));

/** @param {any} problem @param {string} code */
const isOurs = (problem, code) => problem?.type === `/problems/${code}`;

/** Where it is kept when this match's facts were last all heard. @param {string} person @param {string} id */
export const heardKey = (person, id) => `heard:${person}:${id}`;

/** Where the times are kept that changed and were not seen yet. @param {string} person @param {string} id */
export const wasKey = (person, id) => `was:${person}:${id}`;

/** @param {import("./net.js").Answer} answer @returns {any} */
function bodyOf(answer) {
  switch (answer.kind) {
    case "ok":
      return answer.body;
    case "later":
      throw new Stopped("busy", answer.after);
    case "no_signal":
      throw new Stopped("no_signal");
    case "sign_in":
      throw new Stopped("sign_in");
    default:
      throw new Stopped("refused", 60);
  }
}
