// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { netToSettle, weighedByPeg } from "../facts.js";
import { fishMany, fishPoints, netCounted, speciesScored } from "../fish.js";
import { icon } from "../icons.js";
import { weightText } from "../weights.js";
import { words } from "../words.js";
import { OfMatch } from "./of-match.js";

/** The pegs to weigh, section by section, the person's own first. */
class ScreenWeigh extends OfMatch {
  /** @param {any} pack */
  draw(pack) {
    const weighed = weighedByPeg(this.known, pack);
    const drawn = pack.pegs.filter((/** @type {any} */ p) => p.angler);
    const done = drawn.filter((/** @type {any} */ p) => weighed.has(p.number)).length;
    return html`<h1>${words.weighTitle}</h1>
      <p class="under">${words.weighOf(done, drawn.length)}</p>
      ${pack.person.may_weigh ? nothing : html`<p class="note calm">${words.mayNotWeigh}</p>`}
      ${this.#sections(pack).map((section) => html`
        <h2>${words.section(section.label)}${section.label === pack.mine?.section
          ? html` <span class="tag">${words.mySection}</span>` : nothing}</h2>
        <ul class="pegs">${pack.pegs
          .filter((/** @type {any} */ p) => p.section === section.label)
          .map((/** @type {any} */ p) => this.#peg(p, weighed, pack))}</ul>`)}`;
  }

  /** @param {any} pack @returns {any[]} */
  #sections({ sections, mine }) {
    const own = (/** @type {any} */ s) => Number(s.label !== mine?.section);
    return [...sections].sort((a, b) => own(a) - own(b));
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
    const unit = match.weight_unit;
    if (!nets) return peg.angler ? html`<span class="peg-state">${words.toWeigh}</span>` : nothing;
    const here = [...nets.values()].flat().some((k) => k.own?.state === "kept");
    if ([...nets.values()].some((leaves) => netToSettle(leaves, match))) {
      return html`<span class="peg-state is-warn">${icon("settle")}
        ${here ? words.keptToSettle : words.disputed}</span>`;
    }
    const total = [...nets.values()].reduce((sum, leaves) => sum + leaves[0].fact.body.weight, 0);
    const counted = [...nets.values()].reduce((sum, leaves) => sum + netCounted(leaves[0].fact.body.weight, match), 0);
    return html`<span class="peg-state is-good">${icon(here ? "phone" : "tick")}
      ${weightText(total, unit)}${counted === total ? nothing
        : html` <small>${words.counts(weightText(counted, unit))}</small>`}${this.#fish(nets, match)}</span>`;
  }

  /** @param {Map<number, any[]>} nets @param {any} match */
  #fish(nets, match) {
    const species = speciesScored(match);
    if (!species.length) return nothing;
    const bodies = [...nets.values()].map((leaves) => leaves[0].fact.body);
    if (bodies.some((body) => body.weight && !body.fish)) return html` <small>${words.fishMissing}</small>`;
    const fish = bodies.flatMap((body) => body.fish ?? []);
    return html` <small>${words.fishTold(fishMany(fish), fishPoints(fish, species))}</small>`;
  }
}

customElements.define("screen-weigh", ScreenWeigh);
