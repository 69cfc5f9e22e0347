// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { ownInForce } from "../facts.js";
import { amountPlain, feedTotals, planButtons } from "../feed.js";
import { icon } from "../icons.js";
import { factLog, factScratch } from "../keeping.js";
import { loggedAt, timeText } from "../times.js";
import { uuid7 } from "../uuid7.js";
import { amountText, units, words } from "../words.js";
import { OfMatch } from "./of-match.js";

/** @typedef {import("../feed.js").FeedButton} FeedButton */

/** One tap, one throw; below, what has gone in and when, each to be taken back. */
class ScreenFeed extends OfMatch {
  /** @type {FeedButton[]} */ made = [];
  amountBad = false;

  async load() {
    const row = bag.person ? await bag.store.metaGet(this.#key()) : null;
    this.made = row?.buttons ?? [];
    await super.load();
  }

  #key() {
    return `buttons:${bag.person?.id}:${this.match}`;
  }

  /** @param {any} pack */
  draw(pack) {
    const buttons = [...planButtons(pack.plan), ...this.made];
    return html`<h1>${words.feedTitle}</h1>
      <p class="under">${buttons.length ? words.feedHelp : words.feedNoPlan}</p>
      <div class="throws">${buttons.map((b) => this.#button(b, pack))}</div>
      ${this.#log(pack)}
      ${this.#maker(pack)}`;
  }

  /** @param {FeedButton} b @param {any} pack */
  #button(b, pack) {
    return html`<button type="button" class="throw" @click=${() => this.#throw(b, pack)}>
      <b>${b.name}</b><span>${amountText(b.amount, b.unit)}${b.line ? ` · ${b.line}` : ""}</span>
    </button>`;
  }

  /** @param {FeedButton} b @param {any} pack */
  #throw({ bait, name, amount, unit, line, stage }, pack) {
    return factLog({
      id: uuid7(), kind: "feed_note", match: this.match, peg: pack.mine?.peg ?? "",
      body: { bait, amount, unit, line, stage },
    }, `${name} ${amountText(amount, unit)}`);
  }

  /** @param {any} pack */
  #log(pack) {
    const names = new Map(pack.baits.map((/** @type {any} */ b) => [b.key, b.name]));
    const notes = ownInForce(this.known, bag.person, "feed_note")
      .sort((a, b) => loggedAt(b.fact) - loggedAt(a.fact));
    const nameOf = (/** @type {string} */ key) => String(names.get(key) ?? key);
    const totals = feedTotals(notes.map((k) => ({ ...k.fact.body, name: nameOf(k.fact.body.bait) }))
      .map((n) => /** @type {any} */ (n)));
    return html`<section><h2>${words.feedLog}</h2>
      ${notes.length ? html`<p class="total">${words.feedTotal(
        totals.map((t) => `${amountText(t.amount, t.unit)} ${t.name}`).join(", "))}</p>`
        : html`<p class="soft">${words.feedLogNone}</p>`}
      <ul class="log">${notes.map((k) => html`<li>
        <span class="log-time">${timeText(loggedAt(k.fact), pack.match.timezone)}</span>
        <span class="log-what"><b>${nameOf(k.fact.body.bait)}</b>
          ${amountText(k.fact.body.amount, k.fact.body.unit)}${k.fact.body.line ? ` · ${k.fact.body.line}` : ""}</span>
        <span class="log-state">${icon(k.own?.state === "kept" ? "phone" : "tick")}
          ${k.own?.state === "kept" ? words.kept : words.sent}</span>
        <button type="button" class="quiet" @click=${() => factScratch(k.fact)}
          aria-label=${`${words.takeBack}: ${nameOf(k.fact.body.bait)} ${timeText(loggedAt(k.fact), pack.match.timezone)}`}>
          ${icon("undo")} ${words.takeBack}</button></li>`)}</ul></section>`;
  }

  /** @param {any} pack */
  #maker(pack) {
    return html`<details class="sheet"><summary>${words.feedMake}</summary>
      <form @submit=${(/** @type {any} */ e) => this.#make(e, pack)}>
        <label>${words.feedBait}<select name="bait">${pack.baits.map((/** @type {any} */ b) =>
          html`<option value=${b.key}>${b.name}</option>`)}</select></label>
        <label>${words.feedAmount}<input name="amount" inputmode="decimal" autocomplete="off" required></label>
        <p class="field-bad" role="alert">${this.amountBad ? words.feedAmountBad : nothing}</p>
        <label>${words.feedUnit}<select name="unit">${Object.entries(units).map(([key, text]) =>
          html`<option value=${key} ?selected=${key === pack.baits[0]?.unit}>${text}</option>`)}</select></label>
        <label>${words.feedLine}<input name="line" maxlength="40" autocomplete="off"></label>
        <button type="submit">${words.feedMakeDo}</button></form></details>`;
  }

  /** @param {SubmitEvent} event @param {any} pack */
  async #make(event, pack) {
    event.preventDefault();
    const form = /** @type {HTMLFormElement} */ (event.target);
    const typed = new FormData(form);
    const amount = amountPlain(String(typed.get("amount")));
    this.amountBad = amount === null;
    if (amount !== null) {
      const bait = String(typed.get("bait"));
      const name = pack.baits.find((/** @type {any} */ b) => b.key === bait)?.name ?? bait;
      const button = {
        bait, name, amount, unit: String(typed.get("unit")),
        line: String(typed.get("line")).trim(), stage: null,
      };
      await bag.store.metaPut(this.#key(), { buttons: [...this.made, button] });
      form.reset();
    }
    await this.load();
  }
}

customElements.define("screen-feed", ScreenFeed);
