// @ts-check
/** What the feed screen shows beside its buttons: what is due, how stage and bag stand, new buttons. */
import { BankElement, html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { amountPlain } from "../feed.js";
import { feedDue } from "../feed-due.js";
import { bagLeft, feedTotals, stageStands } from "../feed-stands.js";
import { icon } from "../icons.js";
import { factScratch } from "../keeping.js";
import { numeral } from "../language.js";
import { nameOf, stageAt, throwText } from "../lines.js";
import { isPlain, plainWords } from "../plain-text.js";
import { loggedAt, timeText } from "../times.js";
import { amountBoth, units, words as shared } from "../words.js";
import { feedWords as words } from "../words-feed.js";
import "./throw-parts.js";

/** @typedef {{pack: any, fed: import("../feed-due.js").Fed[], line: string, minute: number}} Now */

class FeedNow extends BankElement {
  static properties = { now: { attribute: false } };

  constructor() {
    super();
    /** @type {Now | null} */ this.now = null;
  }

  render() {
    return this.now ? this.draw(this.now) : nothing;
  }

  /** @param {Now} _now @returns {unknown} */
  draw(_now) {
    return nothing;
  }
}

/** What the plan asks for next. It has its place above the buttons, which never move for it. */
class FeedDue extends FeedNow {
  /** @param {Now} now */
  draw({ pack, fed, minute }) {
    const due = feedDue(pack.plan, fed, minute);
    if (!due) return html`<p class="due soft">${words.dueNone}</p>`;
    const left = due.at - minute;
    const said = left > 0 ? words.dueIn(due.name, left)
      : left > -1 ? words.dueNow(due.name) : words.dueSince(due.name, -left);
    return html`<p class="due ${left > 0 ? "" : "is-due"}" role="status">${icon("clock")}
      ${due.line ? words.dueOn(said, due.line) : said}</p>`;
  }
}

/** The stage of my line against the plan. */
class FeedStands extends FeedNow {
  /** @param {Now} now */
  draw({ pack, fed, line, minute }) {
    const i = stageAt(pack.plan, line, minute);
    if (i === null) return nothing;
    return html`<section class="stands"><h2>${words.stageIn}</h2>
      <ul class="plain">${stageStands(pack, fed, i).map((s) => html`<li>
        <b>${s.name}</b> ${words.standOf(numeral(s.fed), amountBoth(s.planned, s.unit))}
        ${s.sure ? nothing : html`<small>${words.unsure}</small>`}
        <progress max=${Number(s.planned)} value=${Number(s.fed)} aria-label=${s.name}></progress></li>`)}</ul></section>`;
  }
}

/** What is left of what is fed at all, not of what only goes into a mix. */
class FeedBag extends FeedNow {
  /** @param {Now} now */
  draw({ pack, fed }) {
    const thrown = new Set([...fed.map((f) => f.bait),
      ...(pack.plan?.stages ?? []).flatMap((/** @type {any} */ s) => s.feeds.map((/** @type {any} */ f) => f.bait))]);
    const mine = (pack.bag ?? []).filter((/** @type {any} */ b) => thrown.has(b.bait));
    if (!mine.length) return nothing;
    return html`<section class="sheet bag-left"><h2>${icon("bag")} ${words.bagTitle}</h2>
      <ul class="plain">${bagLeft({ ...pack, bag: mine }, fed).map((b) => html`<li>
        <b>${b.name}</b> ${words.standOf(numeral(b.left), amountBoth(b.of, b.unit))}
        ${b.over ? html`<small class="field-bad">${words.bagOver}</small>` : nothing}
        ${b.sure ? nothing : html`<small>${words.unsure}</small>`}</li>`)}</ul></section>`;
  }
}

/** Every tap draws the log anew: the rest of a long one comes when asked for. */
const LOG_FIRST = 30;

/** What went in and when, each to be taken back. */
class FeedLog extends BankElement {
  static properties = { notes: { attribute: false }, pack: { attribute: false } };

  constructor() {
    super();
    /** @type {import("../facts.js").Known[]} */ this.notes = [];
    /** @type {any} */ this.pack = null;
    this.whole = false;
  }

  render() {
    const { notes, pack } = this;
    if (!pack) return nothing;
    const totals = feedTotals(notes.map((k) => ({ ...k.fact.body, name: nameOf(pack, k.fact.body.bait) }))
      .map((n) => /** @type {any} */ (n)));
    return html`<section><h2>${words.feedLog}</h2>
      ${notes.length ? html`<p class="total">${words.feedTotal(
        totals.map((t) => `${amountBoth(t.amount, t.unit)} ${t.name}`).join(", "))}</p>`
        : html`<p class="soft">${words.feedLogNone}</p>`}
      <ul class="log">${notes.slice(0, this.whole ? notes.length : LOG_FIRST).map((k) => html`<li>
        <span class="log-time">${timeText(loggedAt(k.fact), pack.match.timezone)}</span>
        <span class="log-what"><b>${nameOf(pack, k.fact.body.bait)}</b> ${throwText(/** @type {any} */ (k.fact.body))}</span>
        <span class="log-state">${icon(k.own?.state === "kept" ? "phone" : "tick")}
          ${k.own?.state === "kept" ? shared.kept : shared.sent}</span>
        <button type="button" class="quiet" @click=${() => factScratch(k.fact)}
          aria-label=${`${words.takeBack}: ${nameOf(pack, k.fact.body.bait)} ${timeText(loggedAt(k.fact), pack.match.timezone)}`}>
          ${icon("undo")} ${words.takeBack}</button></li>`)}</ul>
      ${this.whole || notes.length <= LOG_FIRST ? nothing : html`<button type="button" class="second"
        @click=${() => { this.whole = true; this.requestUpdate(); }}>${words.feedLogWhole(notes.length)}</button>`}
      </section>`;
  }
}

/** A button of one's own, for what the plan does not know. */
class FeedMaker extends BankElement {
  static properties = { pack: { attribute: false }, key: { attribute: false }, made: { attribute: false } };

  constructor() {
    super();
    /** @type {any} */ this.pack = null;
    this.key = "";
    /** @type {import("../feed.js").FeedButton[]} */ this.made = [];
    /** @type {string | null} */ this.bad = null;
  }

  render() {
    const baits = this.pack?.baits ?? [];
    return html`<details class="sheet"><summary>${words.feedMake}</summary>
      <form @submit=${this.#make}>
        <label>${words.feedBait}<select name="bait">${baits.map((/** @type {any} */ b) =>
          html`<option value=${b.key}>${b.name}</option>`)}</select></label>
        <label>${words.feedAmount}<input name="amount" inputmode="decimal" autocomplete="off" required></label>
        <label>${words.feedUnit}<select name="unit">${Object.entries(units).map(([key, text]) =>
          html`<option value=${key} ?selected=${key === baits[0]?.unit}>${text}</option>`)}</select></label>
        <label>${words.feedLine}<input name="line" maxlength="40" autocomplete="off"></label>
        <p class="field-bad" role="alert">${this.bad ?? nothing}</p>
        <button type="submit">${words.feedMakeDo}</button></form></details>`;
  }

  /** @param {SubmitEvent} event */
  #make = async (event) => {
    event.preventDefault();
    const form = /** @type {HTMLFormElement} */ (event.target);
    const typed = (/** @type {string} */ name) => String(new FormData(form).get(name)).trim();
    const amount = amountPlain(typed("amount"));
    this.bad = amount === null ? words.feedAmountBad : isPlain(typed("line")) ? null : plainWords.odd;
    if (amount !== null && !this.bad) {
      const bait = typed("bait");
      const name = this.pack.baits.find((/** @type {any} */ b) => b.key === bait)?.name ?? bait;
      const button = { bait, name, amount, unit: typed("unit"), line: typed("line"), stage: null };
      await bag.store.metaPut(this.key, { buttons: [...this.made, button] });
      form.reset();
    }
    bag.dispatchEvent(new Event("change"));
  };
}

customElements.define("feed-due", FeedDue);
customElements.define("feed-stands", FeedStands);
customElements.define("feed-bag", FeedBag);
customElements.define("feed-log", FeedLog);
customElements.define("feed-maker", FeedMaker);
