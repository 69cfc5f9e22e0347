// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { signalsOf } from "../clock.js";
import { ownInForce } from "../facts.js";
import { gramsOf, inUnit, shortText, SIZES, speciesOf } from "../fish-sizes.js";
import { icon } from "../icons.js";
import { factLog, factScratch } from "../keeping.js";
import { numeral } from "../language.js";
import { partState } from "../later.js";
import { uuid7 } from "../uuid7.js";
import { dayWords, fishNamed, words } from "../words.js";
import { OfLine } from "./of-line.js";

/** @typedef {import("../fish-sizes.js").Size} Size */

/** One tap, one fish, by species and size; what the catch comes to at a guess. */
class ScreenFish extends OfLine {
  /** @type {import("../fish-sizes.js").Sizes} */ own = {};
  /** @type {number | null} */ target = null;

  async load() {
    if (bag.person) {
      const [sizes, target] = await Promise.all(
        [sizesKey(), this.key("target")].map((key) => bag.store.metaGet(key)));
      this.own = sizes?.sizes ?? {};
      this.target = target?.weight ?? null;
    }
    await super.load();
  }

  /** @param {any} pack */
  draw(pack) {
    const notes = ownInForce(this.known, bag.person, "fish_note");
    const keys = { sizes: sizesKey(), target: this.key("target") };
    const now = this.#now(notes, pack.match);
    partState("./screens/fish-more.js");
    return html`<h1>${dayWords.fishTitle}</h1>
      ${this.lineKeys()} <fish-catch class=${this.target ? "has-target" : ""} .now=${now}></fish-catch>
      <p class="under">${dayWords.fishHelp}</p>
      <div class="fish-keys">
        ${speciesOf(pack.match, this.own).map((s) => this.#species(s, notes, pack))}</div>
      ${this.#back(notes)}
      <fish-lines .day=${this.#day(now)}></fish-lines>
      <fish-sizes .match=${pack.match} .own=${this.own} .target=${this.target} .keys=${keys}></fish-sizes>`;
  }

  /** What the catch is reckoned from. @param {import("../facts.js").Known[]} notes @param {any} match */
  #now(notes, match) {
    const end = signalsOf(match, this.known).at(-1);
    const caught = notes.map((k) => ({
      count: k.fact.body.count, about: k.fact.body.about ?? k.fact.body.weight ?? null,
      minute: this.minuteOf(k.fact), line: k.fact.body.line ?? "",
    }));
    // The clock is set right to the half second only: what is noted now is not to come.
    const minute = Math.max(this.minute(), ...caught.map((c) => c.minute));
    return { caught, minute, left: this.minute(end?.at) - minute, unit: match.weight_unit, target: this.target };
  }

  /** Which line was fished when. @param {{caught: import("../lines-catch.js").CaughtOn[], minute: number}} now */
  #day({ caught, minute }) {
    const switches = ownInForce(this.known, bag.person, "line_note")
      .map((k) => ({ minute: this.minuteOf(k.fact), line: k.fact.body.line }));
    return { first: this.lines[0] ?? "", switches, caught, minute };
  }

  /** @param {string} species @param {import("../facts.js").Known[]} notes @param {any} pack */
  #species(species, notes, pack) {
    const unit = pack.match.weight_unit;
    const mine = notes.filter((k) => k.fact.body.species === species);
    const many = (/** @type {Size | null} */ size) => mine
      .filter((k) => (k.fact.body.size ?? null) === size)
      .reduce((sum, k) => sum + k.fact.body.count, 0);
    const grams = gramsOf(species, this.own);
    return html`<div class="fish-row"><b>${fishNamed(species)}${many(null) ? html` <small>${many(null)}</small>` : nothing}</b>
      <div class="fish-three">${SIZES.map((size, i) => {
        const gram = grams[i];
        const about = gram === null ? null : inUnit(gram, unit);
        const said = about === null ? "" : numeral(shortText(about, unit));
        return html`<button type="button" class="key fish-key" data-size=${size}
          aria-label=${dayWords.fishKey(fishNamed(species), dayWords.sizes[size], said, many(size))}
          @click=${() => this.#caught(species, size, about, pack)}>
          ${icon("fish")}<small>${said || dayWords.sizes[size]}</small>
          ${many(size) ? html`<span class="fish-many">${many(size)}</span>` : nothing}</button>`;
      })}</div></div>`;
  }

  /** @param {string} species @param {Size} size @param {number | null} about @param {any} pack */
  #caught(species, size, about, pack) {
    return factLog({
      id: uuid7(), kind: "fish_note", match: this.match, peg: pack.mine?.peg ?? "",
      body: { species, count: 1, weight: null, size, about, line: this.line },
    }, dayWords.fishKept(fishNamed(species), dayWords.sizes[size]));
  }

  /** @param {import("../facts.js").Known[]} notes */
  #back(notes) {
    const last = notes.at(-1)?.fact;
    if (!last) return nothing;
    return html`<p><button type="button" class="quiet" @click=${() => factScratch(last)}>
      ${icon("undo")} ${words.fishBack(fishNamed(last.body.species))}</button></p>`;
  }
}

/** A person's fish are theirs in every match. */
const sizesKey = () => `sizes:${bag.person?.id}`;

customElements.define("screen-fish", ScreenFish);
