// @ts-check
import { BankElement, html, nothing } from "./element.js";
import { codesRead } from "./camera.js";
import { icon } from "./icons.js";
import { ChainReader } from "./qr-chain.js";
import { passWords as words } from "./words-pass.js";

/** The camera's picture and how much of a chain is read; says "whole" with the bytes, once. */
class QrRead extends BankElement {
  #reader = new ChainReader();
  /** @type {() => void} */ #stop = () => {};
  /** @type {import("./camera.js").NoCamera | null} */ none = null;
  /** @type {{have: number, count: number} | null} */ read = null;
  /** @type {string | null} what is wrong with the code in sight */ wrong = null;
  #done = false;

  async firstUpdated() {
    const video = this.querySelector("video");
    if (!video) return;
    const begun = await codesRead(video, (text) => void this.#seen(text));
    if (typeof begun === "string") this.none = begun;
    else if (this.isConnected) this.#stop = begun;
    else begun();
    this.requestUpdate();
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.#done = true;
    this.#stop();
  }

  /** @param {string} text */
  async #seen(text) {
    if (this.#done) return;
    const taken = this.#reader.take(text);
    this.wrong = taken.kind === "part" ? null : words.wrong[taken.kind];
    if (taken.kind === "part") {
      this.read = taken;
      if (taken.have === taken.count) await this.#whole(taken.chain);
    }
    this.requestUpdate();
  }

  /** @param {string} chain */
  async #whole(chain) {
    const bytes = await this.#reader.whole(chain);
    if (!bytes) {
      this.read = null;
      this.wrong = words.notWhole;
    } else if (!this.#done) {
      this.#done = true;
      this.#stop();
      navigator.vibrate?.(60);
      this.dispatchEvent(new CustomEvent("whole", { detail: bytes }));
    }
  }

  render() {
    if (this.none) {
      return html`<section class="note warn" role="status"><p>${icon("refused")} ${
        this.none === "refused" ? words.cameraRefused : words.cameraNone}</p></section>`;
    }
    const { have, count } = this.read ?? { have: 0, count: 1 };
    return html`<video class="qr-seen" playsinline muted aria-label=${words.camera}></video>
      <label class="qr-read">${this.read ? words.read(have, count) : words.looking}
        <progress max=${count} value=${have}></progress></label>
      <div role="status">${this.wrong ? html`<p class="note warn">${icon("refused")} ${this.wrong}</p>` : nothing}</div>`;
  }
}

customElements.define("qr-read", QrRead);
