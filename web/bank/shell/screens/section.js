// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { weighedByPeg } from "../facts.js";
import { speciesScored } from "../fish.js";
import { icon } from "../icons.js";
import { sectionStands } from "../section-stands.js";
import { heardKey } from "../sync.js";
import { timeText } from "../times.js";
import { weightText } from "../weights.js";
import { words as shared } from "../words.js";
import { careWords as words } from "../words-care.js";
import { OfMatch } from "./of-match.js";

/** A section at a glance: who sits where, who is weighed, who leads, and how old that is. */
class ScreenSection extends OfMatch {
  /** @type {number | null} */ heard = null;
  /** @type {string | null} */ label = null;

  async load() {
    if (bag.person) {
      this.heard = (await bag.store.metaGet(heardKey(bag.person.id, this.match)))?.at ?? null;
    }
    await super.load();
  }

  /** @param {any} pack */
  draw(pack) {
    const label = this.label ?? pack.mine?.section ?? pack.sections[0]?.label;
    const known = sectionStands(pack, label, weighedByPeg(this.known, pack));
    return html`<h1>${words.sectionTitle(label)}</h1>
      ${pack.mine ? nothing : html`<p>${words.sectionNone}</p>`} ${this.#choice(pack, label)}
      <p><b>${this.#leads(known)}</b><br>${words.sectionWeighed(known.weighed, known.drawn)}</p>
      <p class="under">${this.heard === null ? words.asOfNever
        : words.asOf(timeText(this.heard, pack.match.timezone))}</p>
      <ol class="plain glance">${known.rows.map((/** @type {any} */ row) => this.#row(row, known, pack))}</ol>`;
  }

  /** @param {any} pack @param {string} label */
  #choice({ sections }, label) {
    if (sections.length < 2) return nothing;
    return html`<div class="nets wraps" role="group" aria-label=${shared.sections}>${sections.map((/** @type {any} */ s) => html`
      <button type="button" class="second" aria-pressed=${String(s.label === label)}
        @click=${() => { this.label = s.label; this.requestUpdate(); }}>${s.label}</button>`)}</div>`;
  }

  /** @param {ReturnType<typeof sectionStands>} known */
  #leads({ leaders }) {
    const who = leaders.map((/** @type {any} */ r) => r.peg.angler ?? r.peg.number).join(", ");
    if (!who) return words.sectionNobody;
    return leaders.length > 1 ? words.sectionLevel(who) : words.sectionLeads(who);
  }

  /** @param {any} row @param {ReturnType<typeof sectionStands>} known @param {any} pack */
  #row({ peg, stand }, known, { match, mine }) {
    const fish = speciesScored(match).length > 0;
    const leads = known.leaders.some((/** @type {any} */ r) => r.peg === peg);
    return html`<li class=${leads ? "is-first" : ""}><b class="peg-number">${peg.number}</b>
      <span class="peg-who">${peg.angler ?? words.empty}
        <span class="soft">${peg.number === mine?.peg ? words.me : peg.team ?? nothing}</span></span>
      <span class="peg-state ${stand ? "is-good" : ""}">${stand
        ? html`${icon(stand.disputed ? "settle" : stand.here ? "phone" : "tick")}
          ${fish ? words.points(stand.points) : weightText(stand.counted, match.weight_unit)}
          ${stand.disputed ? html`<small>${words.settle}</small>` : leads ? html`<small>${words.leads}</small>` : nothing}`
        : peg.angler ? words.notWeighed : nothing}</span>
      ${stand && known.best ? html`<progress aria-label=${peg.number} max=${known.best}
        value=${fish ? stand.points : stand.counted}></progress>` : nothing}</li>`;
  }
}

customElements.define("screen-section", ScreenSection);
