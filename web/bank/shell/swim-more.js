// @ts-check
/** What to change: to lay a feed closer together, when to feed balls, and once the river rises. */
import { BankElement, html, nothing } from "./element.js";
import { icon } from "./icons.js";
import { swimWork } from "./swim-work.js";
import { throwWords as words } from "./words-throw.js";

/** @typedef {import("./swim-work.js").Found} Found */

/** Once a finger has rested so long; and how long one stretch of work holds up the page. */
const REST_MS = 150;
const STRETCH_MS = 4;
/** A way that gains less is none. */
const GAIN = 0.05;
const RISE_STEP_CM = 10;
const RISE_CM = /** @type {const} */ ([-50, 100]);
const USUAL_RISE_CM = 20;

class SwimMore extends BankElement {
  static properties = { asked: { attribute: false }, long: { attribute: false } };

  constructor() {
    super();
    /** @type {import("./reckon/tighten.js").Asked | null} */ this.asked = null;
    this.long = 0;
    /** @type {string | null} */ this.chosen = null;
    this.riseCm = USUAL_RISE_CM;
    /** @type {Found | null} what was found last, for the question `foundFor` */ this.found = null;
    this.foundFor = "";
    this.workFor = "";
    this.stale = false;
    /** @type {any} */ this.timer = 0;
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    clearTimeout(this.timer);
    this.workFor = "";
  }

  /** A question anew starts the work anew. It is asked at every move of a finger, and drawn only
   * once what is shown grows old, and once there is an answer. @param {Map<string, unknown>} changed */
  shouldUpdate(changed) {
    this.#ask();
    const was = this.stale;
    this.stale = this.foundFor !== this.workFor;
    return changed.size === 0 || this.stale !== was || !this.found;
  }

  #ask() {
    const wanted = { chosen: this.chosen, long: this.long, rise: this.#rise() / 100 };
    const question = JSON.stringify([this.asked, wanted]);
    if (!this.asked?.feeds.length || question === this.workFor) return;
    this.workFor = question;
    clearTimeout(this.timer);
    const work = swimWork(this.asked, wanted);
    this.timer = setTimeout(() => this.#goOn(work, question), this.found ? REST_MS : 0);
  }

  /** @param {Generator<undefined, Found>} work @param {string} question */
  #goOn(work, question) {
    const until = performance.now() + STRETCH_MS;
    do {
      const step = work.next();
      if (step.done) {
        this.found = step.value;
        this.foundFor = question;
        this.requestUpdate();
        return;
      }
    } while (performance.now() < until);
    this.timer = setTimeout(() => this.#goOn(work, question), 0);
  }

  /** Of a river that fell, as much as leaves water. */
  #rise() {
    const deep = Math.floor(((this.asked?.swim.depth ?? 1) * 100) / RISE_STEP_CM - 2) * RISE_STEP_CM;
    return Math.max(this.riseCm, -Math.max(0, deep));
  }

  render() {
    if (!this.asked?.feeds.length) return nothing;
    if (!this.found) return html`<p role="status">${words.working}</p>`;
    return html`<div class=${this.stale ? "is-stale" : ""} aria-busy=${String(this.stale)}>
      ${this.#tight(this.found.tight)} ${this.#table(this.found.table)} ${this.#risen(this.found.risen)}</div>`;
  }

  /** @param {Found["tight"]} tight */
  #tight({ chosen, wide, near, ways }) {
    const helps = ways.filter((way) => way.wide < wide * (1 - GAIN));
    const hardly = ways.filter((way) => !helps.includes(way));
    const named = (/** @type {(typeof ways)[0]} */ way) => words.ways[way.way](way, chosen);
    return html`<section class="sheet"><h2>${words.tightTitle}</h2>
      <label>${words.tightFeed}<select @change=${(/** @type {any} */ e) => { this.chosen = e.target.value; this.requestUpdate(); }}>
        ${this.asked?.feeds.map(({ name }) => html`<option value=${name} ?selected=${name === chosen}>${name}</option>`)}</select></label>
      <p>${words.tightNow(chosen, wide, near)}</p>
      ${helps.length ? html`<ul class="plain">${helps.map((way) => html`<li><b>${named(way)}</b>: ${
        words.gain(way.wide, wide, way.near)}.</li>`)}</ul>` : html`<p>${words.tightNone}</p>`}
      ${hardly.length ? html`<p class="soft">${words.noGain(hardly.map(named))}</p>` : nothing}</section>`;
  }

  /** @param {Found["table"]} table */
  #table({ loose, reach, speeds, depths, cells }) {
    return html`<section class="sheet"><h2>${words.compareTitle}</h2>
      <ul class="plain">${reach.map(({ name, speed }) => html`<li>${words.reach(name, this.long, speed)}</li>`)}</ul>
      ${cells.length ? html`<table class="compare"><caption>${words.compareSays(loose, this.long)}</caption>
        <thead><tr><th scope="col">${words.flow}</th>${depths.map((depth) => html`
          <th scope="col" class=${this.#isNow(depth, "depth")}>${words.deep(depth)}</th>`)}</tr></thead>
        <tbody>${speeds.map((speed, row) => html`<tr class=${this.#isNow(speed, "speed")}>
          <th scope="row">${words.speed(speed)}${this.#isNow(speed, "speed") ? html` <small>${words.now}</small>` : nothing}</th>
          ${depths.map((_, n) => this.#cell(cells[row * depths.length + n]))}</tr>`)}</tbody></table>` : nothing}</section>`;
  }

  /** @param {number} value @param {"depth" | "speed"} of */
  #isNow(value, of) {
    return value === this.asked?.swim[of] ? "is-now" : "";
  }

  /** @param {import("./reckon/reach.js").Compared} cell */
  #cell({ loose, depth, use }) {
    return html`<td class=${`use-${use} ${this.#isNow(depth, "depth")}`}><b>${words.uses[use]}</b> ${words.metres(loose)}</td>`;
  }

  /** @param {Found["risen"]} risen */
  #risen({ depth, speed, feeds }) {
    const by = (/** @type {number} */ step) => {
      this.riseCm = Math.min(RISE_CM[1], Math.max(RISE_CM[0], this.riseCm + step * RISE_STEP_CM));
      this.requestUpdate();
    };
    return html`<section class="sheet"><h2>${words.riseTitle}</h2>
      <div class="slide slide-row"><button type="button" class="second" aria-label=${words.riseLess} @click=${() => by(-1)}>−</button>
        <output>${words.rise(this.#rise())}</output>
        <button type="button" class="second" aria-label=${words.riseMore} @click=${() => by(1)}>+</button></div>
      <p>${words.riseSays(depth, speed)}</p>
      <table class="compare risen"><thead><tr><th scope="col">${words.riseFeed}</th><th scope="col">${words.riseBefore}</th>
        <th scope="col">${words.riseAfter}</th></tr></thead>
        <tbody>${feeds.map(({ name, before, after }) => html`<tr><th scope="row">${name}</th>
          <td>${words.riseWhere(before)}</td><td><b>${words.riseWhere(after)}</b></td></tr>`)}</tbody></table>
      <p class="short">${icon("refused")} ${words.riseCare}</p></section>`;
  }
}

customElements.define("swim-more", SwimMore);
