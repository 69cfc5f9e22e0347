// @ts-check
/**
 * What the screens share: the store, who this is, the counts, the signal; and when to sync.
 * It says "change" whenever what is shown may have changed.
 */
import * as net from "./net.js";
import { Sync } from "./sync.js";
import { storeOpen, NotKept } from "./store.js";
import { waitNext } from "./backoff.js";
import { clockKeep, clockTake } from "./clock-kept.js";
import { CARRIED } from "./facts.js";
import { flurry } from "./flurry.js";
import { oneSender } from "./sender.js";
import { nowRight } from "./times.js";
import { buildShown } from "./update.js";

/** @typedef {import("./facts.js").Draft} Draft */

class Bag extends EventTarget {
  store = storeOpen();
  /** @type {{id: string, name: string} | null} */ person = null;
  /** @type {import("./store.js").Counts} */ counts = { kept: 0, sent: 0, refused: 0 };
  /** How many facts of mates wait here to be sent. */ carrying = 0;
  /** @type {import("./sync.js").Signal | "unknown"} */ signal = "unknown";
  /** Whether the signed-in person was known once but has signed out. */ signedOut = false;
  /** @type {string | null} the match now open */ match = null;
  /** @type {string | null} what went wrong with the phone's storage */ trouble = null;
  sending = false;
  /** @type {boolean | null} */ persisted = null;
  #asked = false;
  #failures = 0;
  /** @type {{pull: boolean} | null} asked for while one run was on */ #again = null;
  /** @type {any} */ #timer = 0;
  #tabs = new BroadcastChannel("drawbag-bank");
  #sync = new Sync({
    store: this.store, net, app: buildShown, now: nowRight, wanted: () => this.match,
    known: async (person) => {
      if (person.id !== this.person?.id) await this.refresh({ tell: false });
    },
  });

  /** Whether it is still to be seen who this is, on a phone that knows nobody. */
  get opening() {
    const asked = this.signal !== "unknown" && this.signal !== "ok";
    return !this.person && !this.signedOut && !this.trouble && !asked;
  }

  async start() {
    this.#tabs.onmessage = () => {
      this.store.recall.forget();
      void this.refresh({ tell: false });
    };
    addEventListener("online", () => this.syncNow());
    addEventListener("offline", () => this.#signalSet("no_signal"));
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") this.syncNow();
    });
    await clockTake(this.store);
    await this.refresh({ tell: false });
    this.persisted = await this.#storageSays("persisted");
    await this.syncNow();
  }

  /** Read anew who this is and what is waiting. @param {{tell?: boolean}} [how] */
  async refresh({ tell = true } = {}) {
    try {
      const known = await this.store.metaGet("person");
      this.signedOut = known?.signed_out ?? false;
      this.person = known && !known.signed_out ? { id: known.id, name: known.name } : null;
      if (this.person) this.counts = await this.store.counts(this.person.id);
      this.carrying = (await this.store.counts(CARRIED)).kept;
      this.trouble = null;
    } catch (error) {
      if (!(error instanceof NotKept)) throw error;
      this.trouble = error.message;
    }
    if (tell) this.#tabs.postMessage("change");
    this.#changed();
  }

  /**
   * Keep a fact. Throws NotKept when the phone could not: then nothing may be called kept.
   * @param {Draft} draft
   */
  async keep(draft) {
    if (!this.person) throw new NotKept("Nobody is signed in.");
    const clock = { now: Date.now(), offset: net.clockOffset() };
    const row = await this.store.factKeep(this.person, draft, clock);
    void this.#afterKept();
    return row;
  }

  #afterKept = flurry(async () => {
    await this.refresh();
    void this.#storageAsk();
    void this.syncNow({ pull: false });
  });

  /** Once a page. Some engines ask the person and answer no sooner: nothing may wait for it. */
  async #storageAsk() {
    if (this.persisted === true || this.#asked) return;
    this.#asked = true;
    this.persisted = await this.#storageSays("persist");
    this.#changed();
  }

  /** @param {"persist" | "persisted"} what @returns {Promise<boolean | null>} null: it does not say */
  async #storageSays(what) {
    try {
      return (await navigator.storage?.[what]?.()) ?? null;
    } catch {
      return null;
    }
  }

  /** Send and fetch now; asked while it runs, it runs once more. @param {{pull: boolean}} how */
  async syncNow(how = { pull: true }) {
    clearTimeout(this.#timer);
    if (this.sending) {
      this.#again = { pull: how.pull || Boolean(this.#again?.pull) };
      return;
    }
    this.sending = true;
    this.#changed();
    try {
      await this.#syncOnce(how);
    } finally {
      this.sending = false;
      await this.refresh();
    }
    const again = this.#again;
    this.#again = null;
    if (again) await this.syncNow(again);
  }

  /** The match now open is fetched by the first run as it begins, else by one that starts now: a run
   * that is on may be past it. @param {string | null} match */
  matchOpen(match) {
    const opened = match && match !== this.match;
    this.match = match;
    if (opened && (this.sending || this.signal !== "unknown")) void this.syncNow();
  }

  /** @param {{pull: boolean}} how */
  async #syncOnce(how) {
    let after = 0;
    try {
      const result = await oneSender(this.store, () => this.#sync.run(how));
      if (result) {
        if (how.pull) await clockKeep(this.store);
        this.signal = result.signal;
        after = result.after;
        this.#failures = result.signal === "ok" ? 0 : this.#failures + 1;
      }
    } catch (error) {
      if (!(error instanceof NotKept)) throw error;
      this.trouble = error.message;
      this.#failures += 1;
    } finally {
      this.#timerSet(after);
    }
  }

  /** @param {number} asked seconds */
  #timerSet(asked) {
    const busy = this.signal === "busy" || this.signal === "refused";
    const unsent = this.#unsent() > 0;
    const wait = waitNext({ failures: this.#failures, busy, unsent, asked });
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#timerDone(), wait);
  }

  #unsent() {
    return this.counts.kept + this.carrying;
  }

  /** A page nobody looks at fetches nothing; coming back into sight does. */
  #timerDone() {
    if (document.visibilityState === "visible" || this.#unsent()) void this.syncNow();
    else this.#timerSet(0);
  }

  /** @param {Bag["signal"]} signal */
  #signalSet(signal) {
    this.signal = signal;
    this.#changed();
  }

  /** Sign out here and at the server. What is unsent stays on the phone for its person. */
  async signOut() {
    const known = await this.store.metaGet("person");
    if (!(await net.signOut())) return false;
    await this.store.metaPut("person", { ...known, signed_out: true });
    await this.refresh();
    return true;
  }

  #changed() {
    this.dispatchEvent(new Event("change"));
  }
}

export const bag = new Bag();
