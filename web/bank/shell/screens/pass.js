// @ts-check
import { awakeKeep } from "../awake.js";
import { BankElement, html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { bundleMake, bundleTake } from "../carry.js";
import { CARRIED } from "../facts.js";
import { icon } from "../icons.js";
import { chainFits, chainMake } from "../qr-chain.js";
import { passWords as words } from "../words-pass.js";
import "../qr-read.js";
import "../qr-show.js";

/** @typedef {Awaited<ReturnType<typeof bundleTake>>} Taken */

/**
 * Facts from phone to phone without signal. `step` is what the screen is at; without a match it
 * reads, and lists the matches whose facts can be shown.
 */
class ScreenPass extends BankElement {
  static properties = { match: { attribute: false } };
  /** @type {"choose" | "show" | "ask" | "read" | "taken"} */ step = "choose";
  /** @type {any[]} */ held = [];
  unsent = 0;
  /** @type {string | null} why nothing can be shown */ cannot = null;
  /** @type {Uint8Array | null} */ bytes = null;
  /** @type {string[]} */ frames = [];
  /** @type {Taken | null} */ taken = null;
  #awakeEnd = () => {};

  constructor() {
    super();
    /** @type {string} */ this.match = "";
  }

  connectedCallback() {
    super.connectedCallback();
    this.#awakeEnd = awakeKeep();
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.#awakeEnd();
  }

  async load() {
    const person = bag.person;
    if (person) {
      this.held = await bag.store.packages(person.id);
      const kept = [person.id, CARRIED].map((whose) => bag.store.factsIn(whose, "kept"));
      this.unsent = (await Promise.all(kept)).flat().filter((row) => row.match === this.match).length;
    }
    this.requestUpdate();
  }

  render() {
    return html`<h1>${words.title}</h1>${this.#step()}`;
  }

  #step() {
    switch (this.step) {
      case "show": return this.#show();
      case "ask": return this.#ask();
      case "read": return this.#read();
      case "taken": return this.#told();
      default: return this.#choose();
    }
  }

  #choose() {
    return html`<p>${words.how}</p>
      <div role="status">${this.cannot ? html`<p class="note warn">${icon("refused")} ${this.cannot}</p>` : nothing}</div>
      ${this.match ? this.#chooseShow() : this.#chooseMatch()}
      <section class="sheet pass-ways"><button type="button" @click=${() => this.#to("ask")}>
        ${icon("ahead")} ${words.readIt}</button></section>`;
  }

  #chooseShow() {
    return html`<section class="sheet pass-ways">
        <button type="button" ?disabled=${!this.unsent} @click=${() => this.#make(false)}>
          ${icon("phone")} ${words.showUnsent}</button>
        <p>${this.unsent ? words.showUnsentHelp : words.nothing}</p></section>
      <section class="sheet pass-ways">
        <button type="button" @click=${() => this.#make(true)}>${icon("scales")} ${words.showAll}</button>
        <p>${words.showAllHelp}</p></section>`;
  }

  #chooseMatch() {
    return html`<section class="sheet pass-ways"><h2>${words.whichMatch}</h2>
      ${this.held.length ? this.held.map((row) => html`<a class="button second"
        href=${`#/match/${row.id}/pass`}>${row.pack.match.name}</a>`) : html`<p>${words.noMatch}</p>`}</section>`;
  }

  /** @param {boolean} all */
  async #make(all) {
    this.cannot = null;
    const bytes = await bundleMake(this.match, { all }).catch((error) => {
      if (!(error instanceof Error) || error.name !== "CannotCarry") throw error;
      this.cannot = error.message;
    });
    if (!bytes) return this.#to("choose");
    this.bytes = bytes;
    this.frames = chainFits(bytes) ? await chainMake(bytes) : [];
    return this.#to("show");
  }

  #show() {
    return html`<h2>${this.frames.length ? words.showTitle : words.tooMuch}</h2>
      ${this.frames.length ? html`<qr-show .frames=${this.frames}></qr-show>
        <p>${words.showHelp}</p>` : nothing}
      <div class="pass-ways"><button type="button" @click=${() => this.#to("choose")}>${words.done}</button>
        <button type="button" class="second" @click=${this.#fileSave}>${icon("file")} ${words.fileSave}</button></div>`;
  }

  #ask() {
    return html`<section class="sheet pass-ways"><h2>${words.askTitle}</h2><p>${words.ask}</p>
        <button type="button" @click=${() => this.#to("read")}>${words.cameraOpen}</button></section>
      ${this.#fileIn()}`;
  }

  #read() {
    return html`<qr-read @whole=${(/** @type {CustomEvent} */ event) => this.#take(event.detail)}></qr-read>
      ${this.#fileIn()}`;
  }

  #fileIn() {
    return html`<label class="button second file">${icon("file")} ${words.fileRead}
      <input type="file" @change=${this.#fileRead}></label>`;
  }

  #told() {
    const { taken, known, refused, from } = this.taken ?? { taken: 0, known: 0, refused: [], from: [] };
    const nothingRead = !taken && !known && refused.length > 0;
    const why = [...new Set(refused.map((it) => it.why))].map((it) => html`<p class="why">${it}</p>`);
    return html`<section class="sheet" role="status"><h2>${words.takenTitle}</h2>
        ${from.map((who) => html`<p>${words.from(who)}</p>`)}
        ${nothingRead ? html`<p>${icon("refused")} ${words.nothingTaken}</p>` : html`
          <p><b>${icon("tick")} ${words.taken(taken)}</b></p>`}
        ${known ? html`<p>${words.known(known)}</p>` : nothing}
        ${nothingRead || !refused.length ? nothing : html`<p>${icon("refused")} ${words.refused(refused.length)}</p>`}
        ${why}</section>
      <div class="pass-ways">
        ${this.match ? html`<a class="button" href=${`#/match/${this.match}/weigh`}>${icon("scales")} ${words.toWeigh}</a>` : nothing}
        <button type="button" class="second" @click=${() => this.#to("ask")}>${words.again}</button></div>`;
  }

  /** @param {Uint8Array} bytes */
  async #take(bytes) {
    this.taken = await bundleTake(bytes);
    this.#to("taken");
    await bag.refresh();
  }

  /** @param {any} event */
  #fileRead = async (event) => {
    const file = event.target.files[0];
    if (file) await this.#take(new Uint8Array(await file.arrayBuffer()));
  };

  #fileSave = () => {
    if (!this.bytes) return;
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([Uint8Array.from(this.bytes)]));
    link.download = `pass-on-${this.match}-${new Date().toISOString().slice(0, 16).replace(":", "")}.drawbag`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  };

  /** @param {ScreenPass["step"]} step */
  #to(step) {
    this.step = step;
    this.requestUpdate();
    scrollTo(0, 0);
  }
}

customElements.define("screen-pass", ScreenPass);
