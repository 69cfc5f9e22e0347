// @ts-check
/**
 * The one base of every screen: Lit without a shadow root, so that labels, autofill and
 * styles work as on any page; drawn again whenever the bag changes.
 */
import { html, svg, nothing, repeat, LitElement } from "./vendor/lit.js";
import { bag } from "./bag.js";
import { flurry } from "./flurry.js";
import { NotKept } from "./in-time.js";

export { html, svg, nothing, repeat };

export class BankElement extends LitElement {
  #onChange = flurry(async () => {
    try {
      await this.load();
    } catch (error) {
      // The head says that the storage does not answer; what was read before stays in sight.
      if (!(error instanceof NotKept)) throw error;
    }
  });

  createRenderRoot() {
    return this;
  }

  connectedCallback() {
    super.connectedCallback();
    bag.addEventListener("change", this.#onChange);
    void this.#onChange();
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    bag.removeEventListener("change", this.#onChange);
  }

  /** Read what the screen shows, then draw. A screen that reads the store does it here. */
  async load() {
    this.requestUpdate();
  }
}
