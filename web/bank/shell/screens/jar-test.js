// @ts-check
/** A feed timed in a jar, drop by drop, and whose test of it counts. */
import { BankElement, html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { ownInForce } from "../facts.js";
import { DROPS_MOST, dropOdd, FULL_DROPS, JAR_CM, sinkOf, testChosen, testFloats, testsKnown, testTimed }
  from "../feed-tests.js";
import { icon } from "../icons.js";
import { factLog, factScratch } from "../keeping.js";
import { dateText } from "../times.js";
import { uuid7 } from "../uuid7.js";
import { jarWords as words } from "../words-jar.js";
import "../stop-watch.js";

/** @typedef {import("../feed-tests.js").FeedTest} FeedTest */
/** @typedef {{key: string, name: string}} Feed */

const USUAL_CM = "30";
/** The slowest of drops that are alike is not so much slower than the quickest (from memory). */
const APART = 2;
const seconds = (/** @type {number} */ ms) => (ms / 1000).toFixed(1);
const centimetres = (/** @type {number} */ metres) => (metres * 100).toFixed(1);

class JarTest extends BankElement {
  static properties = { pack: { attribute: false }, known: { attribute: false }, feeds: { attribute: false } };

  constructor() {
    super();
    /** @type {any} */ this.pack = null;
    /** @type {import("../facts.js").Known[]} */ this.known = [];
    /** @type {Feed[]} what is thrown loose, the plan's first */ this.feeds = [];
    /** @type {string | null} */ this.chosen = null;
    /** @type {string | null} */ this.deep = null;
    /** @type {keyof typeof words.odd | null} */ this.odd = null;
  }

  render() {
    const feed = this.feeds.find(({ key }) => key === this.chosen) ?? this.feeds[0];
    if (!this.pack || !feed || !bag.person) return nothing;
    const mine = this.#mine(feed.key);
    return html`<section class="sheet jar"><h2>${words.title}</h2><p>${words.help}</p>
      <label>${words.feed}<select @change=${(/** @type {any} */ e) => { this.chosen = e.target.value; this.odd = null; this.requestUpdate(); }}>
        ${this.feeds.map(({ key, name }) => html`<option value=${key} ?selected=${key === feed.key}>${name}</option>`)}</select></label>
      <label>${words.deep}<input name="jar" inputmode="numeric" autocomplete="off" maxlength="3" .value=${this.#deepNow()}
        @input=${(/** @type {any} */ e) => { this.deep = e.target.value; }}></label>
      <stop-watch .start=${words.start} .stop=${words.stop}
        .done=${(/** @type {number} */ ms) => this.#drop(feed, ms)}></stop-watch>
      <p class="field-bad" role="alert">${this.odd ? words.odd[this.odd] : nothing}</p>
      <button type="button" class="second" @click=${() => this.#float(feed)}>${words.floats}</button>
      ${this.#drops(mine)} ${this.#tests(feed)}</section>`;
  }

  /** @param {string} bait */
  #mine(bait) {
    return ownInForce(this.known, bag.person, "feed_test")
      .filter(({ fact: { body } }) => body.bait === bait && !body.aside && !body.again);
  }

  /** As typed, else as it was for the last drop. */
  #deepNow() {
    const drops = ownInForce(this.known, bag.person, "feed_test").map((k) => k.fact.body.jar_cm);
    return this.deep ?? String(drops.filter(Boolean).at(-1) ?? USUAL_CM);
  }

  /** @param {import("../facts.js").Known[]} mine */
  #drops(mine) {
    if (!mine.length) return nothing;
    const drops = mine.map(({ fact: { body } }) =>
      /** @type {import("../feed-tests.js").Drop} */ ([body.jar_cm ?? JAR_CM[0], body.ms ?? null]));
    return html`${sums(drops)}
      <ul class="log">${mine.slice().reverse().map((k) => html`<li><span class="log-what">${dropText(k.fact.body)}</span>
        <button type="button" class="quiet" @click=${() => factScratch(k.fact)}>${icon("undo")} ${words.takeBack}</button></li>`)}</ul>`;
  }

  /** Everybody's tests of this feed. @param {Feed} feed */
  #tests(feed) {
    const person = /** @type {{id: string, name: string}} */ (bag.person);
    const tests = testsKnown(this.pack, this.known, person).filter(({ bait }) => bait === feed.key);
    if (!tests.length) return html`<p class="soft">${words.nobody}</p>`;
    const counts = testChosen(tests, person.id);
    return html`<h3>${words.countsTitle}</h3><ul class="plain tests">${tests.map((test) => this.#test(test, test === counts))}</ul>
      <p class="soft">${words.rule}</p>`;
  }

  /** @param {FeedTest} test @param {boolean} counts */
  #test(test, counts) {
    const timed = testTimed(test);
    return html`<li><span>${timed ? html`<b>${words.speed(centimetres(timed.mean))}</b>` : html`<b>${words.dropFloats}</b>`}
        ${testSaid(test)}
        ${counts ? html`<span class="tag">${icon("tick")} ${words.counts}</span>` : nothing}
        ${test.aside ? html`<span class="tag">${words.asideNow}</span>` : nothing}</span>
      <button type="button" class="quiet" @click=${() => this.#weigh(test)}>
        ${test.aside ? html`${icon("undo")} ${words.useAgain}` : words.leave}</button></li>`;
  }

  /** Leave it aside, or use it again. @param {FeedTest} test */
  #weigh({ bait, match, author, aside }) {
    const of = { match, author: author.id };
    return this.#log({ bait, ...(aside ? { again: of } : { aside: of }) },
      aside ? words.againKept(author.name) : words.asideKept(author.name));
  }

  /** @param {Feed} feed @param {number} ms */
  #drop({ key, name }, ms) {
    const deep = this.#deepNow();
    const jarCm = /^\d{1,3}$/.test(deep.trim()) ? Number(deep) : 0;
    this.odd = dropOdd(jarCm, ms);
    this.requestUpdate();
    if (!this.odd) void this.#log({ bait: key, jar_cm: jarCm, ms }, words.dropKept(name, seconds(ms)));
  }

  /** @param {Feed} feed */
  #float({ key, name }) {
    return this.#log({ bait: key, floats: true }, words.floatKept(name));
  }

  /** @param {Record<string, any>} body @param {string} what */
  #log(body, what) {
    const { match, mine } = this.pack;
    return factLog({ id: uuid7(), kind: "feed_test", match: String(match.id), peg: mine?.peg ?? "", body }, what);
  }
}

/** What is not thrown loose. */
const NOT_LOOSE = new Set(["groundbait", "soil"]);

/**
 * What can be timed: the club's baits, those of the plan first.
 * @param {any} pack @param {{key: string, name: string, mm?: number}[]} planned @returns {Feed[]}
 */
export function jarFeeds({ baits }, planned) {
  const first = new Set(planned.map(({ key }) => key));
  const loose = baits.filter((/** @type {any} */ b) => !NOT_LOOSE.has(b.kind));
  return [...loose.filter((/** @type {Feed} */ b) => first.has(b.key)), ...loose.filter((/** @type {Feed} */ b) => !first.has(b.key))];
}

/** Whose test, of when, of how many drops. @param {FeedTest} test */
export const testSaid = (test) => words.by(test.author.name, dateText(test.date), test.drops.length);

/** @param {any} body */
const dropText = (body) => (body.floats ? words.dropFloats : words.dropText(seconds(body.ms), body.jar_cm));

/** What these drops come to. @param {import("../feed-tests.js").Drop[]} drops */
function sums(drops) {
  const timed = testTimed({ drops });
  if (!timed) return html`<p class="short" role="status">${icon("refused")} ${testFloats({ drops }) ? words.allFloat : nothing}</p>`;
  const speeds = drops.slice(-DROPS_MOST).flatMap(([jarCm, ms]) => (ms === null ? [] : [sinkOf(jarCm, ms)]));
  const [least, most] = [Math.min(...speeds), Math.max(...speeds)];
  const floated = Math.min(drops.length, DROPS_MOST) - speeds.length;
  return html`<p role="status"><b class="catch-figure">${words.speed(centimetres(timed.mean))}</b>
      ${timed.drops === 1 ? words.ofOne : `${words.of(timed.drops)}, ${words.spread(centimetres(least), centimetres(most))}`}</p>
    ${timed.drops < FULL_DROPS ? html`<p class="soft">${words.more(FULL_DROPS - timed.drops)}</p>` : nothing}
    ${most > APART * least ? html`<p class="short">${icon("refused")} ${words.apart}</p>` : nothing}
    ${floated ? html`<p class="soft">${words.someFloat(floated)}</p>` : nothing}
    ${drops.length >= DROPS_MOST ? html`<p class="soft">${words.enough}</p>` : nothing}`;
}

customElements.define("jar-test", JarTest);
