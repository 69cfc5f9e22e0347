// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { nextAlong, pegStand } from "../along.js";
import { ownInForce, weighedByPeg } from "../facts.js";
import { fishMany, speciesScored } from "../fish.js";
import { icon } from "../icons.js";
import { inTurn } from "../times.js";
import { weightText } from "../weights.js";
import { dayWords, words } from "../words.js";
import { OfMatch } from "./of-match.js";

/** The pegs to weigh, section by section, the person's own first. */
class ScreenWeigh extends OfMatch {
  /** @type {Promise<() => void> | null} */ #sleep = null;

  connectedCallback() {
    super.connectedCallback();
    this.#sleep = import("../awake.js").then(({ awakeKeep }) => awakeKeep(), () => () => {});
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    void this.#sleep?.then((sleep) => sleep());
  }

  /** @param {any} pack */
  draw(pack) {
    const weighed = weighedByPeg(this.known, pack);
    const drawn = pack.pegs.filter((/** @type {any} */ p) => p.angler);
    const done = drawn.filter((/** @type {any} */ p) => weighed.has(p.number)).length;
    const sections = this.#sections(pack);
    return html`<h1>${words.weighTitle}</h1>
      <p class="under">${words.weighOf(done, drawn.length)}</p>
      ${pack.person.may_weigh ? nothing : html`<p class="note calm">${words.mayNotWeigh}</p>`}
      ${this.#jumps(sections)}
      ${sections.map((section) => html`
        <h2 tabindex="-1">${words.section(section.label)}${section.label === pack.mine?.section
          ? html` <span class="tag">${words.mySection}</span>` : nothing}</h2>
        <ul class="pegs">${pack.pegs
          .filter((/** @type {any} */ p) => p.section === section.label)
          .map((/** @type {any} */ p) => this.#peg(p, weighed, pack))}</ul>`)}
      ${this.#next(pack, weighed)}`;
  }

  /** @param {any} pack @returns {any[]} */
  #sections({ sections, mine }) {
    const own = (/** @type {any} */ s) => Number(s.label !== mine?.section);
    return [...sections].sort((a, b) => own(a) - own(b));
  }

  /** The way down a long list. @param {any[]} sections */
  #jumps(sections) {
    if (sections.length < 2) return nothing;
    return html`<div class="nets wraps" role="group" aria-label=${words.sections}>${sections.map(({ label }, n) => html`
      <button type="button" class="second" @click=${() => this.#goTo(n)}>${label}</button>`)}</div>`;
  }

  /** @param {number} n */
  #goTo(n) {
    const head = this.querySelectorAll("h2")[n];
    head?.scrollIntoView();
    head?.focus({ preventScroll: true });
  }

  /** @param {any} peg @param {ReturnType<typeof weighedByPeg>} weighed @param {any} pack */
  #peg(peg, weighed, pack) {
    const nets = weighed.get(peg.number);
    const open = pack.person.may_weigh || peg.number === pack.mine?.peg;
    const inside = html`<b class="peg-number">${peg.number}</b>
      <span class="peg-who">${peg.angler ?? words.emptyPeg}
        ${peg.team ? html`<span class="soft">${peg.team}</span>` : nothing}${this.#by(nets)}</span>
      ${this.#state(nets, peg, pack.match)}`;
    return html`<li>${open
      ? html`<a class="peg-row" href=${`#/match/${this.match}/weigh/${encodeURIComponent(peg.number)}`}>${inside}</a>`
      : html`<div class="peg-row">${inside}</div>`}</li>`;
  }

  /** Who else logged it. @param {Map<number, import("../facts.js").Known[]> | undefined} nets */
  #by(nets) {
    const authors = [...(nets?.values() ?? [])].flat().map((k) => k.author);
    const names = new Set(authors.filter((who) => who && who.id !== bag.person?.id).map((who) => who?.name));
    return names.size ? html`<span class="soft">${words.weighedBy([...names].join(", "))}</span>` : nothing;
  }

  /** @param {Map<number, any[]> | undefined} nets @param {any} peg @param {any} match */
  #state(nets, peg, match) {
    const stand = pegStand(nets, match);
    if (!stand) return peg.angler ? html`<span class="peg-state">${words.toWeigh}</span>` : nothing;
    if (stand.disputed) {
      return html`<span class="peg-state is-warn">${icon("settle")}
        ${stand.here ? words.keptToSettle : words.disputed}</span>`;
    }
    const unit = match.weight_unit;
    return html`<span class="peg-state is-good">${icon(stand.here ? "phone" : "tick")}
      ${weightText(stand.weight, unit)}${stand.counted === stand.weight ? nothing
        : html` <small>${words.counts(weightText(stand.counted, unit))}</small>`}${this.#fish(stand, match)}</span>`;
  }

  /** @param {import("../along.js").Stand} stand @param {any} match */
  #fish(stand, match) {
    if (!speciesScored(match).length) return nothing;
    return html` <small>${stand.fishMissing ? words.fishMissing
      : words.fishTold(fishMany(stand.fish), stand.points)}</small>`;
  }

  /** Where the scales go next, under the thumb: the next peg along, or one more net of the last.
   * @param {any} pack @param {ReturnType<typeof weighedByPeg>} weighed */
  #next({ pegs, person, mine }, weighed) {
    const own = ownInForce(this.known, bag.person, "weigh_in");
    const last = inTurn(own).at(-1)?.fact.peg ?? null;
    const next = person.may_weigh ? nextAlong(pegs, weighed, last)
      : pegs.find((/** @type {any} */ p) => p.number === mine?.peg && !weighed.has(p.number));
    if (!next && last === null) return nothing;
    const to = (/** @type {string} */ peg) => `#/match/${this.match}/weigh/${encodeURIComponent(peg)}`;
    return html`<nav class="next-along" aria-label=${dayWords.nextAlong}>
      ${next ? html`<a class="button" href=${to(next.number)}><span><small>${person.may_weigh
        ? dayWords.nextAlong : dayWords.goPeg}</small><b>${words.peg(next.number)}</b> ${next.angler}</span></a>`
        : html`<p>${icon("tick")} ${dayWords.allWeighed}</p>`}
      ${last === null ? nothing : html`<a class="button second" href=${to(last)}><span><small>${dayWords.nextNet}</small>
        ${words.peg(last)}</span></a>`}</nav>`;
  }
}

customElements.define("screen-weigh", ScreenWeigh);
