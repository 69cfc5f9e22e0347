// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { ownInForce } from "../facts.js";
import { testFloats, testsCounting, testsKnown, testTimed } from "../feed-tests.js";
import { icon } from "../icons.js";
import { NotKept } from "../in-time.js";
import { AROUND, BEGIN, feedsOf, notedAt, SET, speedSpreadOf, standTyped, swimReckoned, waterBound, waterOdd,
  waterSet } from "../swim.js";
import { swimAbove } from "../swim-above.js";
import { letterOf, swimKey, swimPicture, swimSays } from "../swim-picture.js";
import { standForm } from "../swim-stand.js";
import { numeral } from "../language.js";
import { besideText } from "../measures.js";
import { jarWords } from "../words-jar.js";
import { swimWords as words } from "../words-swim.js";
import { throwWords } from "../words-throw.js";
import { jarFeeds, testSaid } from "./jar-test.js";
import { OfMatch } from "./of-match.js";
import "../swim-more.js";
import "./throw-parts.js";

/** @typedef {import("../swim.js").Water} Water */
/** @typedef {import("../feed-tests.js").FeedTest} FeedTest */
/** @typedef {import("../swim.js").Stand} Stand */
/** @typedef {import("../swim.js").Fed} Fed */
/** @typedef {{water: Water | null, stand: Stand | null, wind: import("../swim.js").Wind | null,
 *   jars: Record<string, {depth: number, seconds: number[]}>}} Kept what was set by hand; `jars`: what
 *   was timed before jar tests were facts */

const UNITS = { depth: "m", speed: "m/s", settles: "m", fish: "m", celsius: "°C" };
const PLACES = { depth: 1, speed: 2, settles: 1, fish: 1, celsius: 0 };

/** Where each feed goes in so that it lands where the rig settles. */
class ScreenSwim extends OfMatch {
  /** @type {Kept} */ kept = { water: null, stand: null, wind: null, jars: {} };
  /** @type {Partial<Record<keyof typeof import("../swim.js").STAND, string>>} */ bad = {};
  failed = false;
  dragging = false;
  /** @type {Map<string, any>} by feed, as it was when no finger dragged */ #thrown = new Map();
  /** @type {any[]} the package and facts that were read, and what they say */ #toldOf = [];
  /** @type {string | null} whose settings of which match are shown */ shownOf = null;

  async load() {
    if (this.shownOf !== this.#key()) {
      const kept = await bag.store.metaGet(this.#key());
      this.kept = { water: null, stand: null, wind: null, jars: {}, ...kept };
      this.shownOf = this.#key();
    }
    await super.load();
  }

  /** @param {any} pack */
  draw(pack) {
    const { noted, spread, all, feeds, jars, tests } = this.#told(pack);
    const water = waterBound(this.kept.water ?? { ...BEGIN, ...noted });
    const around = {
      stand: this.kept.stand ?? AROUND.stand, wind: this.kept.wind ?? AROUND.wind, speedSpread: spread,
    };
    const timed = this.#timed(tests);
    const { asked, landed } = swimReckoned(water, feeds, timed, around, this.dragging);
    const odd = this.kept.water ? [] : waterOdd(noted);
    return html`<h1>${words.title}</h1><p>${words.help}</p>
      <div class="swim-set">${swimPicture(water, landed, around)}
        <section class="sheet"><h2>${words.swimTitle}</h2>
          <p class="soft">${Object.keys(noted).length ? words.fromPeg : words.noNotes}</p>
          ${odd.map((key) => html`<p class="short">${icon("refused")} ${words.odd(words[key], shownOf(key, noted[key] ?? 0), shownOf(key, water[key]))}</p>`)}
          ${/** @type {(keyof Water)[]} */ (Object.keys(SET)).map((key) => this.#slide(key, water))}
          ${this.kept.water ? html`<button type="button" class="quiet" @click=${() => this.#keep({ water: null })}>
            ${icon("undo")} ${words.again}</button>` : nothing}
          <p class="field-bad" role="alert">${this.failed ? words.notKept : nothing}</p></section>
        ${swimSays(water)} ${swimAbove(water, landed, around)} ${swimKey()}</div>
      <ol class="landed">${landed.map((feed, n) => this.#landed(feed, n, around.stand, tests))}</ol>
      ${floatsSaid(all.filter((feed) => !feeds.includes(feed)))}
      <p class="soft">${words.honest} ${words.rough}</p>
      ${standForm(around, this.bad, {
        change: (set) => this.#keep(set), drag: (set) => this.#drag(set),
        type: (key, text) => this.#typed(around.stand, key, text),
      })}
      <swim-more .asked=${asked} .long=${around.stand.long}></swim-more>
      <section class="note warn">${throwWords.care.map((line) => html`<p>${line}</p>`)}</section>
      <jar-test .pack=${pack} .known=${this.known} .feeds=${jars}></jar-test>`;
  }

  /** What notes, plan and jars say: a drag asks often, and nothing of it changes meanwhile.
   * @param {any} pack @returns {{noted: Partial<Water>, spread: number | null, all: Fed[], feeds: Fed[], jars: {key: string, name: string}[],
   *   tests: Map<string, FeedTest>}} */
  #told(pack) {
    if (this.#toldOf[0] === pack && this.#toldOf[1] === this.known) return this.#toldOf[2];
    const today = ownInForce(this.known, bag.person, "peg_note").map((k) => k.fact.body);
    // The bed of an earlier match may still be there; its flow is not.
    const before = (pack.peg_before ?? []).map((/** @type {any} */ n) => ({ ...n.body, float_run: null }));
    const all = feedsOf(pack, words.usual, words.balls);
    const tests = testsCounting(testsKnown(pack, this.known, bag.person ?? { id: "", name: "" }), bag.person?.id ?? "");
    const told = {
      noted: notedAt([...before.reverse(), ...today]), spread: speedSpreadOf(today), all, tests,
      feeds: all.filter(({ key }) => !floatsOf(tests.get(key))), jars: jarFeeds(pack, all),
    };
    this.#toldOf = [pack, this.known, told];
    return told;
  }

  /** Whoever's test counts, before what this phone alone kept. @param {Map<string, FeedTest>} tests */
  #timed(tests) {
    const old = Object.entries(this.kept.jars).map(([key, jar]) =>
      [key, testTimed({ drops: jar.seconds.map((s) => [jar.depth * 100, s * 1000]) })]);
    const shared = [...tests].map(([key, test]) => [key, testTimed(test)]);
    return Object.fromEntries([...old, ...shared].filter(([, timed]) => timed));
  }

  /** @param {import("../swim.js").Landed} feed @param {number} n @param {Stand} stand
   * @param {Map<string, FeedTest>} tests */
  #landed(feed, n, stand, tests) {
    const test = tests.get(feed.key);
    const how = feed.mm ? words.ballsGuessed : test ? jarWords.measuredBy(testSaid(test))
      : feed.guessed ? words.guessed : words.measured(feed.drops);
    // A line and a rod that nobody typed are not kept with a throw; a finger that drags keeps none.
    const typed = this.kept.stand ? { out: stand.line, rod: stand.rod } : {};
    const reckoned = { key: feed.key, name: feed.name, mm: feed.mm, upstream: -feed.throwAt, ...typed };
    const of = (this.dragging && this.#thrown.get(feed.key)) || reckoned;
    this.#thrown.set(feed.key, of);
    return html`<li><span class="landed-letter" aria-hidden="true">${letterOf(n)}</span>
      <div><b>${feed.name}</b> <strong class="landed-where">${words.where(feed.throwAt)}</strong>
        <p><b>${throwWords.point(feed.point)}</b></p>
        <p>${words.falls(feed.seconds, feed.drift)} ${throwWords.lies(feed.wide, feed.lands.near)}
          ${feed.onward ? throwWords.onward(feed.onward) : nothing}</p>
        ${feed.far ? html`<p class="short">${icon("refused")} ${throwWords.past(stand.long)}</p>` : nothing}
        <p class="soft">${how}</p>
        <throw-keep .pack=${this.pack} .known=${this.known} .of=${of}></throw-keep></div></li>`;
  }

  /** @param {Stand} stand @param {"line" | "rod" | "long"} key @param {string} text */
  #typed(stand, key, text) {
    const value = standTyped(key, text);
    const { [key]: _, ...bad } = this.bad;
    this.bad = value === null ? { ...bad, [key]: text } : bad;
    if (value === null) this.requestUpdate();
    else void this.#keep({ stand: { ...stand, [key]: value } });
  }

  /** @param {keyof Water} key @param {Water} water */
  #slide(key, water) {
    const [least, most, step] = SET[key];
    const label = words[key];
    const shown = shownOf(key, water[key]);
    const set = (/** @type {number} */ value) => this.#keep({ water: waterSet(water, key, value) });
    const by = (/** @type {number} */ steps) => set(Number((water[key] + steps * step).toFixed(3)));
    return html`<div class="slide">
      <label for=${`swim-${key}`}>${label} <output>${shown}</output></label>
      <div class="slide-row">
        <button type="button" class="second" aria-label=${words.less(label)} @click=${() => by(-1)}>−</button>
        <input id=${`swim-${key}`} type="range" min=${least} max=${key === "fish" ? water.depth : most}
          step=${step} .value=${String(water[key])} aria-valuetext=${shown}
          @input=${(/** @type {any} */ e) => this.#drag({ water: waterSet(water, key, Number(e.target.value)) })}
          @change=${() => this.#keep({})}>
        <button type="button" class="second" aria-label=${words.more(label)} @click=${() => by(1)}>+</button>
      </div></div>`;
  }

  /** Under a finger. @param {Partial<Kept>} change */
  #drag(change) {
    this.dragging = true;
    this.#show(change);
  }

  /** @param {Partial<Kept>} change */
  #show(change) {
    this.kept = { ...this.kept, ...change };
    this.requestUpdate();
  }

  /** Shown at once, kept beside. @param {Partial<Kept>} change */
  async #keep(change) {
    this.dragging = false;
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

/** @param {keyof Water} key @param {number} value */
const shownOf = (key, value) =>
  numeral(`${value.toFixed(PLACES[key])} ${UNITS[key]}`) + besideText(value, UNITS[key]);

/** @param {FeedTest | undefined} test */
const floatsOf = (test) => test !== undefined && testFloats(test);

/** @param {import("../swim.js").Fed[]} feeds */
const floatsSaid = (feeds) => (feeds.length
  ? html`<p class="short">${icon("refused")} ${jarWords.floatsOut(feeds.map(({ name }) => name).join(", "))}</p>` : nothing);

customElements.define("screen-swim", ScreenSwim);
