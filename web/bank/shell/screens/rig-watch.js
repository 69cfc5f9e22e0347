// @ts-check
/** Drop the rig in, tap when it settles, say where: kept as a peg note. */
import { BankElement, html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { ownInForce } from "../facts.js";
import { flowOf } from "../float-runs.js";
import { icon } from "../icons.js";
import { factLog } from "../keeping.js";
import { uuid7 } from "../uuid7.js";
import { jarWords as words } from "../words-jar.js";
import "../stop-watch.js";

const STEP_CM = 50;
const [LEAST_CM, MOST_CM] = [-500, 5_000];
/** Settling takes longer than a finger that slips. */
const QUICKEST_MS = 500;
const SLOWEST_MS = 3_600_000;
const metres = (/** @type {number} */ cm) => (cm / 100).toFixed(1);
const seconds = (/** @type {number} */ ms) => (ms / 1000).toFixed(1);

class RigWatch extends BankElement {
  static properties = { pack: { attribute: false }, known: { attribute: false } };

  constructor() {
    super();
    /** @type {any} */ this.pack = null;
    /** @type {import("../facts.js").Known[]} */ this.known = [];
    /** @type {{ms: number, cm: number, guessed: boolean} | null} what settled and is not kept yet */ this.settled = null;
    this.odd = false;
  }

  render() {
    if (!this.pack) return nothing;
    return html`<section><h2>${words.rigTitle}</h2><p class="under">${words.rigHelp}</p>
      ${this.settled ? this.#where(this.settled) : html`<stop-watch .start=${words.rigStart} .stop=${words.rigStop}
        .done=${(/** @type {number} */ ms) => this.#stopped(ms)}></stop-watch>`}
      <p class="field-bad" role="alert">${this.odd ? words.rigOdd : nothing}</p></section>`;
  }

  /** @param {{ms: number, cm: number, guessed: boolean}} settled */
  #where({ ms, cm, guessed }) {
    const by = (/** @type {number} */ step) => {
      this.settled = { ms, cm: Math.min(MOST_CM, Math.max(LEAST_CM, cm + step)), guessed: false };
      this.requestUpdate();
    };
    return html`<div class="sheet rig"><p>${words.rigWhere(seconds(ms))}</p>
      <div class="slide-row"><button type="button" class="second" aria-label=${words.rigLess} @click=${() => by(-STEP_CM)}>−</button>
        <output class="rest-figure">${metres(cm)} m</output>
        <button type="button" class="second" aria-label=${words.rigMore} @click=${() => by(STEP_CM)}>+</button></div>
      ${guessed ? html`<p class="soft">${words.rigGuess}</p>` : nothing}
      <button type="button" class="keep" @click=${() => this.#keep(ms, cm)}>${icon("tick")} ${words.rigKeep}</button>
      <button type="button" class="quiet" @click=${() => this.#drop()}>${icon("undo")} ${words.rigForget}</button></div>`;
  }

  /** @param {number} ms */
  #stopped(ms) {
    this.odd = ms < QUICKEST_MS || ms > SLOWEST_MS;
    this.settled = this.odd ? null : { ms, ...this.#guess(ms) };
    this.requestUpdate();
  }

  /** As far as a float runs in that time; without a run, where it settled last. @param {number} ms */
  #guess(ms) {
    const notes = ownInForce(this.known, bag.person, "peg_note").map((k) => k.fact.body);
    const flow = flowOf(notes.map((b) => b.float_run).filter(Boolean));
    const last = notes.map((b) => b.rig_settles_cm).filter((cm) => cm != null).at(-1) ?? 200;
    const cm = flow ? Math.round((flow.mean * ms) / 100_000) * 10 : last;
    return { cm: Math.min(MOST_CM, cm), guessed: Boolean(flow) };
  }

  #drop() {
    this.settled = null;
    this.requestUpdate();
  }

  /** @param {number} ms @param {number} cm */
  async #keep(ms, cm) {
    const { match, mine } = this.pack;
    const body = { depth_cm: null, float_run: null, rig_settles_cm: cm, rig_settles_ms: ms, note: "" };
    const draft = { id: uuid7(), kind: /** @type {const} */ ("peg_note"), match: String(match.id), peg: mine?.peg ?? "", body };
    if (await factLog(draft, words.rigKept(metres(cm)))) this.#drop();
  }
}

customElements.define("rig-watch", RigWatch);
