// @ts-check
/** A big button that times something, and the seconds while it does. */
import { BankElement, html, nothing } from "./element.js";
import { icon } from "./icons.js";
import { numeral } from "./language.js";

const TICK_MS = 100;

/** Calls `.done(ms)` at the second tap. It counts by the page's own clock, which no clock change moves. */
class StopWatch extends BankElement {
  static properties = { start: { attribute: false }, stop: { attribute: false }, done: { attribute: false } };

  constructor() {
    super();
    this.start = "";
    this.stop = "";
    this.done = (/** @type {number} */ _ms) => {};
    /** @type {number | null} */ this.from = null;
    /** @type {any} */ this.tick = 0;
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    clearInterval(this.tick);
  }

  render() {
    const on = this.from !== null;
    return html`<button type="button" class="throw watch ${on ? "is-on" : ""}" @click=${() => this.#tap()}>
      ${icon("clock")} <b>${on ? this.stop : this.start}</b>
      ${on ? html`<span class="rest-figure">${numeral((this.#ms() / 1000).toFixed(1))} s</span>` : nothing}</button>`;
  }

  #ms() {
    return performance.now() - (this.from ?? performance.now());
  }

  #tap() {
    clearInterval(this.tick);
    if (this.from === null) {
      this.from = performance.now();
      this.tick = setInterval(() => this.requestUpdate(), TICK_MS);
    } else {
      const ms = Math.round(this.#ms());
      this.from = null;
      this.done(ms);
    }
    this.requestUpdate();
  }
}

customElements.define("stop-watch", StopWatch);
