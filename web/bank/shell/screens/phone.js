// @ts-check
import { BankElement, html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { bodySound } from "../facts.js";
import { icon } from "../icons.js";
import { partState } from "../later.js";
import { loggedAt, timeText } from "../times.js";
import { buildShown } from "../update.js";
import { weightText } from "../weights.js";
import { NotKept } from "../in-time.js";
import { uuid7 } from "../uuid7.js";
import { amountText, words } from "../words.js";
import { carryWords } from "../words-carry.js";
import { drawerWords } from "../words-drawer.js";

/** @typedef {import("../facts.js").OwnRow} OwnRow */
/** A longer list is read by nobody, and slow to draw. */
const SHOWN_MOST = 100;
const REST = /** @type {const} */ (["./carried-list.js", "./screens/feel.js", "./lacks.js"]);

/** What is kept, refused, to settle; the file; the phone's promise; signing out. */
class ScreenPhone extends BankElement {
  /** @type {OwnRow[]} */ kept = [];
  /** @type {OwnRow[]} */ refused = [];
  /** @type {OwnRow[]} */ disputed = [];
  /** @type {Map<string, string>} */ zones = new Map();
  /** @type {string | null} */ said = null;
  leaving = false;
  looked = false;

  async load() {
    try {
      if (bag.person) await this.#look(bag.person.id);
    } finally {
      this.looked = true;
      this.requestUpdate();
    }
  }

  /** @param {string} person */
  async #look(person) {
    const [kept, refused] = await Promise.all(
      ["kept", "refused"].map((state) => bag.store.factsIn(person, state)));
    Object.assign(this, { kept, refused });
    const held = await bag.store.packages(person);
    this.zones = new Map(held.map((row) => [row.id, row.pack.match.timezone]));
    this.disputed = await bag.store.factsDisputed(person);
  }

  render() {
    if (!this.looked) return html`<h1>${drawerWords.phoneTitle}</h1>`;
    return html`<h1>${drawerWords.phoneTitle}</h1>
      ${bag.person ? html`<p class="under">${drawerWords.signedInAs(bag.person.name)}</p>` : nothing}
      <div role="status">${this.said ? html`<p class="note calm">${this.said}</p>` : nothing}</div>
      ${this.#keptList()} ${this.#refusedList()} ${this.#disputedList()} ${this.#file()} ${this.#leave()}
      ${this.#rest()}`;
  }

  /** What comes later stands last and comes at once, so that it moves nothing. */
  #rest() {
    const [carried, feel, lacks] = REST.map(partState);
    if ([carried, feel, lacks].includes("coming")) return nothing;
    return html`${carried === "here" ? html`<carried-list></carried-list>` : nothing}
      ${feel === "here" ? html`<feel-settings></feel-settings>` : nothing}
      <section class="sheet">${lacks === "here" ? html`<lacks-told></lacks-told>` : nothing}
        <p class="soft">${drawerWords.version(buildShown())}</p></section>`;
  }

  #keptList() {
    return html`<section class="sheet" data-list="kept">
      <h2>${icon("phone")} ${this.kept.length ? drawerWords.keptTitle(this.kept.length)
        : bag.carrying ? carryWords.ownSent : drawerWords.phoneEmpty}</h2>
      <ul class="plain">${this.kept.slice(0, SHOWN_MOST).map((row) => html`<li>${this.#fact(row)}
        ${row.clash_of ? html`<p class="soft">${drawerWords.clashed}</p>` : nothing}</li>`)}</ul>
      ${this.kept.length > SHOWN_MOST
        ? html`<p class="soft">${drawerWords.andMore(this.kept.length - SHOWN_MOST)}</p>` : nothing}
      <button type="button" class=${this.kept.length + bag.carrying ? "" : "second"} @click=${() => bag.syncNow()}>${icon("signal")} ${drawerWords.sendNow}</button>
    </section>`;
  }

  #refusedList() {
    if (!this.refused.length) return nothing;
    return html`<section class="sheet" data-list="refused">
      <h2>${icon("refused")} ${drawerWords.refusedTitle(this.refused.length)}</h2><p>${drawerWords.refusedHelp}</p>
      <ul class="plain">${this.refused.map((row) => html`<li>${this.#fact(row)}
        <p class="why">${row.problem?.detail ?? row.problem?.title}</p>
        ${(row.problem?.errors ?? []).map((e) => html`<p class="why">${e.message} <code>${e.pointer}</code></p>`)}
        <button type="button" class="second" @click=${() => this.#putAside(row)}>${drawerWords.putAside}</button></li>`)}</ul>
    </section>`;
  }

  #disputedList() {
    if (!this.disputed.length) return nothing;
    return html`<section class="sheet" data-list="disputed">
      <h2>${icon("settle")} ${drawerWords.disputeTitle(this.disputed.length)}</h2><p>${drawerWords.disputeHelp}</p>
      <ul class="plain">${this.disputed.map((row) => html`<li>${this.#fact(row)}
        ${(row.rivals ?? []).map((r) => html`<p class="why">${drawerWords.disputeWith(r.author)}</p>`)}</li>`)}</ul>
    </section>`;
  }

  #file() {
    if (!bag.person) return nothing;
    const unsent = this.kept.length + this.refused.length + bag.carrying;
    return html`<section class="sheet">
      <p><a class="button" href="#/pass">${icon("phone")} ${words.goPass}</a></p>
      <button type="button" class="second" ?disabled=${!unsent} @click=${() => this.#fileSave()}>
        ${icon("file")} ${words.fileSave}</button>
      <label class="button second file">${words.fileRead}
        <input type="file" accept="application/json,.json,.drawbag" @change=${this.#fileRead}></label></section>`;
  }

  #leave() {
    if (!bag.person) return nothing;
    if (!this.leaving) {
      return html`<p class="row"><a class="button second" href="/desk/">${drawerWords.desk}</a>
        <button type="button" class="quiet" @click=${() => this.#leaveAsk()}>${drawerWords.signOut}</button></p>`;
    }
    return html`<section class="note warn">
      ${this.kept.length ? html`<p>${drawerWords.signOutUnsent(this.kept.length)}</p>` : nothing}
      ${bag.carrying ? html`<p>${carryWords.signOutCarrying(bag.carrying)}</p>` : nothing}
      <div class="row"><button type="button" @click=${() => this.#fileSave()}>${icon("file")} ${words.fileSave}</button>
      <button type="button" class="second" @click=${() => { this.leaving = false; this.requestUpdate(); }}>
        ${drawerWords.signOutStay}</button>
      <button type="button" class="quiet" @click=${() => this.#signOut()}>${drawerWords.signOutSure}</button></div></section>`;
  }

  async #leaveAsk() {
    if (!this.kept.length && !bag.carrying) return this.#signOut();
    this.leaving = true;
    return this.requestUpdate();
  }

  async #signOut() {
    this.leaving = false;
    if (await bag.signOut()) location.assign("/");
    else this.#say(drawerWords.signOutFailed);
  }

  /** At the venue's time. @param {OwnRow} row */
  #fact(row) {
    return factText(row, this.zones.get(row.match));
  }

  /** The club is told too, so that nobody there asks after it. @param {OwnRow} row */
  async #putAside(row) {
    const { match, peg } = row.fact;
    try {
      // What no server would take of it needs no withdrawing either.
      if (this.zones.has(match) && peg.length <= 8) {
        const body = { why: "put aside on the phone" };
        await bag.keep({ id: uuid7(), kind: "scratch", match, peg, supersedes: row.id, body });
      }
      await bag.store.refusedDrop(row.id);
    } catch (error) {
      if (!(error instanceof NotKept)) throw error;
      this.#say(words.notKept);
    }
    await bag.refresh();
  }

  async #fileSave() {
    if (bag.person) await (await this.#filePart())?.fileSave(bag.person, this.kept, this.refused);
  }

  /** Null, and said, while it is not on the phone yet. */
  async #filePart() {
    const part = await import("../handing.js").catch(() => null);
    if (!part) this.#say(words.partMissing);
    return part;
  }

  /** @param {any} event */
  #fileRead = async (event) => {
    const file = event.target.files[0];
    if (!file || !bag.person) return;
    const bytes = new Uint8Array(await file.arrayBuffer());
    event.target.value = "";
    const part = await this.#filePart();
    if (part) this.#say(await part.fileTake(bag.person, bytes));
    await bag.refresh();
    void bag.syncNow();
  };

  /** @param {string} text */
  #say(text) {
    this.said = text;
    this.requestUpdate();
  }
}

/** @param {OwnRow} row @param {string} [zone] */
function factText({ fact }, zone) {
  const { kind, peg } = fact;
  return html`<span class="fact"><span class="log-time">${timeText(loggedAt(fact), zone)}</span>
    <b>${drawerWords.kinds[kind] ?? kind}</b> ${peg ? words.peg(peg) : ""} ${bodyText(fact)}</span>`;
}

/** @param {import("../facts.js").Fact} fact */
function bodyText(fact) {
  const { kind, body } = fact;
  if (!bodySound(fact)) return drawerWords.unreadable(JSON.stringify(body).slice(0, 120));
  switch (kind) {
    case "weigh_in":
      return `${words.netNumber(body.net)}, ${weightText(body.weight, body.unit)}`;
    case "feed_note":
      return `${amountText(body.amount, body.unit)} ${body.bait}`;
    case "signal":
      return words.signals[/** @type {"start"} */ (body.signal)] ?? "";
    default:
      return "";
  }
}

customElements.define("screen-phone", ScreenPhone);
