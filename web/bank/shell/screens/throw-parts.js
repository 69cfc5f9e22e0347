// @ts-check
/** Where each feed is thrown: kept by one tap beside the swim, and said in short wherever it is fed. */
import { BankElement, html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { icon } from "../icons.js";
import { factLog, factScratch } from "../keeping.js";
import { nameOf } from "../lines.js";
import { throwKey, throwKeyOf, throwsKept } from "../throws.js";
import { uuid7 } from "../uuid7.js";
import { jarWords as words } from "../words-jar.js";
import { swimWords } from "../words-swim.js";

/** @typedef {import("../throws.js").Throw} Throw */

/** Nearer than this no hand throws twice. */
const SAME_CM = 5;
const centimetres = (/** @type {number | undefined} */ m) => (m === undefined ? null : Math.round(m * 100));

class ThrowPart extends BankElement {
  static properties = { pack: { attribute: false }, known: { attribute: false }, of: { attribute: false } };

  constructor() {
    super();
    /** @type {any} */ this.pack = null;
    /** @type {import("../facts.js").Known[]} */ this.known = [];
    /** @type {any} */ this.of = null;
  }

  get kept() {
    return throwsKept(this.known, bag.person);
  }

  render() {
    return this.pack && (this.of || !("asks" in this)) ? this.draw() : nothing;
  }

  /** @returns {unknown} */
  draw() {
    return nothing;
  }
}

/** `.of`: {key, name, mm?, upstream, out?, rod?}, metres as they are reckoned now. */
class ThrowKeep extends ThrowPart {
  asks = true;

  draw() {
    const { key, name, mm } = this.of;
    if (!mm && !this.pack.baits.some((/** @type {any} */ b) => b.key === key)) return nothing;
    const kept = this.kept.get(key);
    const now = this.#now(kept);
    const same = kept && isSame(kept, now);
    return html`<p class="throw-kept">${kept ? html`<span>${icon("tick")} ${words.throwKept(words.throwLong(kept))}</span>` : nothing}
      ${same ? html`<button type="button" class="quiet" aria-label=${`${words.throwLost}: ${name}`}
          @click=${() => factScratch(kept.fact)}>${icon("undo")} ${words.throwLost}</button>`
        : html`<button type="button" class="second" aria-label=${`${kept ? words.throwInstead : words.throwKeep}: ${name}`}
          @click=${() => this.#keep(now, kept?.fact ?? null)}>${icon("plan")} ${kept ? words.throwInstead : words.throwKeep}</button>`}</p>`;
  }

  /** What nobody typed here stays as it was kept. @param {Throw | undefined} kept @returns {Throw} */
  #now(kept) {
    const { upstream, out, rod } = this.of;
    return {
      upstream_cm: centimetres(upstream) ?? 0,
      out_cm: centimetres(out) ?? kept?.out_cm ?? null, rod_cm: centimetres(rod) ?? kept?.rod_cm ?? null,
    };
  }

  /** The one before leaves with it, and comes back if this is taken back.
   * @param {Throw} now @param {import("../facts.js").Fact | null} before */
  #keep(now, before) {
    const { key, name, mm } = this.of;
    const { match, mine } = this.pack;
    const body = { ...(mm ? { ball_mm: mm } : { bait: key }), ...now };
    const draft = { id: uuid7(), kind: /** @type {const} */ ("feed_throw"), match: String(match.id), peg: mine?.peg ?? "",
      supersedes: before?.id ?? null, body };
    return factLog(draft, words.throwOf(name, words.throwShort(now)), before);
  }
}

/** In short, beside a button of the feed screen: `.of` is the button. */
class ThrowSaid extends ThrowPart {
  asks = true;

  draw() {
    const kept = this.kept.get(throwKeyOf(this.pack.plan, this.of));
    return kept ? html`<small class="throw-said">${words.throwShort(kept)}</small>` : nothing;
  }
}

/** All that were kept, for the plan and the mixing sheet. */
class ThrowList extends ThrowPart {
  draw() {
    const all = [...this.kept.values()];
    if (!all.length) return nothing;
    return html`<section class="sheet"><h2>${icon("feed")} ${words.throwsTitle}</h2><ul class="plain">${all.map((kept) => {
      const { bait, ball_mm: mm } = kept.fact.body;
      return html`<li data-throw=${throwKey(kept.fact.body)}><b>${mm ? swimWords.balls(mm) : nameOf(this.pack, bait)}</b> ${words.throwLong(kept)}</li>`;
    })}</ul></section>`;
  }
}

/** @param {Throw} a @param {Throw} b */
function isSame(a, b) {
  const near = (/** @type {number | null | undefined} */ x, /** @type {number | null | undefined} */ y) =>
    (x == null || y == null ? (x ?? null) === (y ?? null) : Math.abs(x - y) < SAME_CM);
  return near(a.upstream_cm, b.upstream_cm) && near(a.out_cm, b.out_cm) && near(a.rod_cm, b.rod_cm);
}

customElements.define("throw-keep", ThrowKeep);
customElements.define("throw-said", ThrowSaid);
customElements.define("throw-list", ThrowList);
