// @ts-check
/** What this phone carries for mates, what of it was refused, and whether it can hand over its own. */
import { BankElement, html, nothing } from "./element.js";
import { bag } from "./bag.js";
import { CARRIED } from "./facts.js";
import { handKeyOf, handKeyRenew } from "./hand-key.js";
import { icon } from "./icons.js";
import { carryWords as words } from "./words-carry.js";

/** @typedef {import("./facts.js").OwnRow} OwnRow */

class CarriedList extends BankElement {
  /** @type {OwnRow[]} */ kept = [];
  /** @type {OwnRow[]} */ refused = [];
  /** @type {import("./hand-key.js").HandKey | null} */ key = null;

  async load() {
    this.kept = await bag.store.factsIn(CARRIED, "kept");
    this.refused = await bag.store.factsIn(CARRIED, "refused");
    this.key = bag.person ? await handKeyOf(bag.person.id) : null;
    this.requestUpdate();
  }

  render() {
    return html`<section class="sheet" data-list="carried">
        <h2>${icon("bag")} ${words.carriedTitle(this.kept.length)}</h2>
        ${this.kept.length ? html`<p>${words.carriedHelp}</p>` : nothing}
        <ul class="plain">${byName(this.kept).map(([name, rows]) =>
          html`<li>${words.carryingFor(rows.length, name)}</li>`)}</ul>
        ${this.refused.length ? this.#refusals() : nothing}
        ${bag.person ? this.#own() : nothing}</section>`;
  }

  #refusals() {
    return html`<h3>${icon("refused")} ${words.refusedTitle(this.refused.length)}</h3><p>${words.refusedHelp}</p>
      <ul class="plain">${byName(this.refused).map(([name, rows]) => html`<li>${words.refusedFor(rows.length, name)}
        ${[...new Set(rows.map((row) => row.problem?.detail ?? row.problem?.title ?? ""))].map(
          (why) => html`<p class="why">${why}</p>`)}</li>`)}</ul>
      <div class="row"><button type="button" class="second" @click=${this.#again}>${icon("signal")} ${words.again}</button>
        <button type="button" class="second" @click=${this.#putAside}>${words.putAside}</button></div>`;
  }

  #own() {
    const { state, why } = this.key ?? { state: "made", why: undefined };
    if (state === "joined") return html`<p>${icon("key")} ${words.joined}</p>`;
    const said = state === "cannot" ? words.cannot : state === "revoked" ? words.revoked : why || words.notJoined;
    return html`<p class="why">${icon("key")} ${said}</p>
      ${state === "revoked" ? html`<button type="button" class="second" @click=${this.#renew}>${words.renew}</button>` : nothing}`;
  }

  #renew = async () => {
    if (bag.person) await handKeyRenew(bag.person.id);
  };

  #again = async () => {
    const change = new Map(this.refused.map((row) => [row.id, { state: /** @type {const} */ ("kept") }]));
    await bag.store.outcomesKeep(change, [], Date.now());
    await bag.refresh();
    void bag.syncNow();
  };

  #putAside = async () => {
    for (const { id } of this.refused) await bag.store.refusedDrop(id);
    await bag.refresh();
  };
}

/** @param {OwnRow[]} rows @returns {[string, OwnRow[]][]} */
function byName(rows) {
  /** @type {Map<string, OwnRow[]>} */
  const names = new Map();
  for (const row of rows) {
    const name = row.carried?.name ?? "";
    names.set(name, [...(names.get(name) ?? []), row]);
  }
  return [...names];
}

customElements.define("carried-list", CarriedList);
