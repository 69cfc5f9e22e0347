// @ts-check
import { BankElement, html } from "./element.js";
import { icon } from "./icons.js";
import { qrDraw } from "./qr-draw.js";
import { passWords as words } from "./words-pass.js";

/** How long each code stands: four a second is what cameras of phones keep up with. */
export const STANDS_MS = 250;

/** A chain of codes shown round and round, with a pause and the number of the one on show. */
class QrShow extends BankElement {
  static properties = { frames: { attribute: false } };
  /** @type {any} */ #timer = 0;

  constructor() {
    super();
    /** @type {string[]} */ this.frames = [];
    this.at = 0;
    this.paused = false;
  }

  connectedCallback() {
    super.connectedCallback();
    this.#timer = setInterval(() => {
      if (!this.paused) this.#go(1);
    }, STANDS_MS);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    clearInterval(this.#timer);
  }

  /** @param {number} by */
  #go(by) {
    this.at = (this.at + by + this.frames.length) % this.frames.length;
    this.requestUpdate();
  }

  updated() {
    const canvas = this.querySelector("canvas");
    if (canvas) qrDraw(canvas, this.frames[this.at]);
  }

  render() {
    const [here, all] = [this.at + 1, this.frames.length];
    return html`<figure class="qr"><canvas role="img" aria-label=${words.code}></canvas>
        <figcaption>${words.codeOf(here, all)}</figcaption></figure>
      ${all === 1 ? "" : html`<div class="row qr-row">
        <button type="button" class="second" aria-label=${words.codeBefore} ?disabled=${!this.paused}
          @click=${() => this.#go(-1)}>${icon("back")}</button>
        <button type="button" class="second" @click=${() => { this.paused = !this.paused; this.requestUpdate(); }}>
          ${this.paused ? words.goOn : words.pause}</button>
        <button type="button" class="second" aria-label=${words.codeNext} ?disabled=${!this.paused}
          @click=${() => this.#go(1)}>${icon("ahead")}</button></div>`}`;
  }
}

customElements.define("qr-show", QrShow);
