// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { ownInForce } from "../facts.js";
import { icon } from "../icons.js";
import { NotKept } from "../in-time.js";
import { BEGIN, feedsOf, landedOf, notedAt, SET, waterBound, waterSet } from "../swim.js";
import { letterOf, swimPicture } from "../swim-picture.js";
import { swimWords as words } from "../words-swim.js";
import { OfMatch } from "./of-match.js";

/** @typedef {import("../swim.js").Water} Water */
/** @typedef {{water: Water | null, jars: Record<string, import("../swim.js").Jar>}} Kept */

const UNITS = { depth: "m", speed: "m/s", settles: "m", fish: "m", celsius: "°C" };
const PLACES = { depth: 1, speed: 2, settles: 1, fish: 1, celsius: 0 };
/** Nothing falls through a jar in less: that was a finger, not a bait. */
const QUICKEST_S = 0.2;

/** Where each feed goes in so that it lands where the rig settles. */
class ScreenSwim extends OfMatch {
  /** @type {Kept} */ kept = { water: null, jars: {} };
  /** @type {string | null} */ feed = null;
  jarCm = 30;
  /** @type {number | null} */ watchFrom = null;
  tooQuick = false;
  failed = false;
  /** @type {string | null} whose settings of which match are shown */ shownOf = null;

  async load() {
    if (this.shownOf !== this.#key()) {
      const kept = await bag.store.metaGet(this.#key());
      this.kept = { water: kept?.water ?? null, jars: kept?.jars ?? {} };
      this.shownOf = this.#key();
    }
    await super.load();
  }

  /** @param {any} pack */
  draw(pack) {
    const today = ownInForce(this.known, bag.person, "peg_note").map((k) => k.fact.body);
    // The bed of an earlier match may still be there; its flow is not.
    const before = (pack.peg_before ?? []).map((/** @type {any} */ n) => ({ ...n.body, float_run: null }));
    const noted = notedAt([...before.reverse(), ...today]);
    const water = waterBound(this.kept.water ?? { ...BEGIN, ...noted });
    const feeds = feedsOf(pack, words.usual, words.balls);
    const landed = landedOf(water, feeds, this.kept.jars);
    return html`<link rel="stylesheet" href="/static/bank/plan.css"><h1>${words.title}</h1><p>${words.help}</p>
      ${swimPicture(water, landed)}
      <ol class="landed">${landed.map((feed, n) => this.#landed(feed, n))}</ol>
      <p class="soft">${words.honest}</p>
      <section class="sheet"><h2>${words.swimTitle}</h2>
        <p class="soft">${Object.keys(noted).length ? words.fromPeg : words.noNotes}</p>
        ${/** @type {(keyof Water)[]} */ (Object.keys(SET)).map((key) => this.#slide(key, water))}
        ${this.kept.water ? html`<button type="button" class="quiet" @click=${() => this.#keep({ water: null })}>
          ${icon("undo")} ${words.again}</button>` : nothing}
        <p class="field-bad" role="alert">${this.failed ? words.notKept : nothing}</p></section>
      ${this.#jar(feeds.filter((feed) => !feed.mm))}`;
  }

  /** @param {import("../swim.js").Landed} feed @param {number} n */
  #landed(feed, n) {
    const how = feed.mm ? words.ballsGuessed
      : feed.guessed ? words.guessed : words.measured(feed.drops);
    return html`<li><span class="landed-letter" aria-hidden="true">${letterOf(n)}</span>
      <div><b>${feed.name}</b> <strong class="landed-where">${words.where(feed.throwAt)}</strong>
        <p>${words.falls(feed.seconds, feed.drift)} ${words.wide(feed.wide)}</p>
        ${feed.far ? html`<p class="short">${icon("refused")} ${words.far}</p>` : nothing}
        <p class="soft">${how}</p></div></li>`;
  }

  /** @param {keyof Water} key @param {Water} water */
  #slide(key, water) {
    const [least, most, step] = SET[key];
    const label = words[key];
    const shown = `${water[key].toFixed(PLACES[key])} ${UNITS[key]}`;
    const set = (/** @type {number} */ value) => this.#keep({ water: waterSet(water, key, value) });
    const by = (/** @type {number} */ steps) => set(Number((water[key] + steps * step).toFixed(3)));
    return html`<div class="slide">
      <label for=${`swim-${key}`}>${label} <output>${shown}</output></label>
      <div class="slide-row">
        <button type="button" class="second" aria-label=${words.less(label)} @click=${() => by(-1)}>−</button>
        <input id=${`swim-${key}`} type="range" min=${least} max=${key === "fish" ? water.depth : most}
          step=${step} .value=${String(water[key])} aria-valuetext=${shown}
          @input=${(/** @type {any} */ e) => this.#show({ water: waterSet(water, key, Number(e.target.value)) })}
          @change=${() => this.#keep({})}>
        <button type="button" class="second" aria-label=${words.more(label)} @click=${() => by(1)}>+</button>
      </div></div>`;
  }

  /** @param {import("../swim.js").Fed[]} loose */
  #jar(loose) {
    if (!loose.length) return nothing;
    const feed = loose.find(({ key }) => key === this.feed) ?? loose[0];
    const drops = this.kept.jars[feed.key]?.seconds ?? [];
    return html`<section class="sheet"><h2>${words.jarTitle}</h2><p>${words.jarHelp}</p>
      <label>${words.jarFeed}<select @change=${(/** @type {any} */ e) => { this.feed = e.target.value; this.requestUpdate(); }}>
        ${loose.map(({ key, name }) => html`<option value=${key} ?selected=${key === feed.key}>${name}</option>`)}</select></label>
      <label>${words.jarDeep} (cm)<input inputmode="numeric" maxlength="3" .value=${String(this.jarCm)}
        @input=${(/** @type {any} */ e) => { this.jarCm = Number(e.target.value) || 30; }}></label>
      <button type="button" class="keep" @click=${() => this.#watch(feed.key)}>${icon("clock")}
        ${this.watchFrom === null ? words.jarStart : words.jarStop}</button>
      <p class="field-bad" role="alert">${this.tooQuick ? words.jarShort : nothing}</p>
      ${drops.length ? html`<p>${drops.map((s) => words.jarTook(s.toFixed(1))).join(", ")}</p>
        <button type="button" class="quiet" @click=${() => this.#forget(feed.key)}>${icon("undo")} ${words.jarForget}</button>` : nothing}
    </section>`;
  }

  /** @param {string} key */
  #watch(key) {
    if (this.watchFrom === null) {
      this.watchFrom = performance.now();
      this.tooQuick = false;
      this.requestUpdate();
      return;
    }
    const seconds = (performance.now() - this.watchFrom) / 1000;
    this.watchFrom = null;
    this.tooQuick = seconds < QUICKEST_S;
    const depth = this.jarCm / 100;
    const before = this.kept.jars[key];
    const same = before?.depth === depth ? before.seconds : [];
    if (this.tooQuick) this.requestUpdate();
    else void this.#keep({ jars: { ...this.kept.jars, [key]: { depth, seconds: [...same, seconds] } } });
  }

  /** @param {string} key */
  #forget(key) {
    const { [key]: _, ...jars } = this.kept.jars;
    void this.#keep({ jars });
  }

  /** @param {Partial<Kept>} change */
  #show(change) {
    this.kept = { ...this.kept, ...change };
    this.requestUpdate();
  }

  /** Shown at once, kept beside. @param {Partial<Kept>} change */
  async #keep(change) {
    this.#show(change);
    try {
      await bag.store.metaPut(this.#key(), this.kept);
      this.failed = false;
    } catch (error) {
      if (!(error instanceof NotKept)) throw error;
      this.failed = true;
      this.requestUpdate();
    }
  }

  #key() {
    return `swim:${bag.person?.id}:${this.match}`;
  }
}

customElements.define("screen-swim", ScreenSwim);
