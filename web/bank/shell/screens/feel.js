// @ts-check
import { BankElement, html } from "../element.js";
import { icon } from "../icons.js";
import { feel, handShow, here, keptFeel } from "../feel.js";
import { languageChoose, LANGUAGES, locale } from "../language.js";
import { lightChoose, lightNow } from "../light.js";
import { feelWords as words } from "../words-feel.js";

/** Which hand, a shake, a tone, the light: tried out as they are chosen. */
class FeelSettings extends BankElement {
  render() {
    return html`<section class="sheet"><h2>${words.title}</h2>
      <p id="feel-hand">${words.hand}</p>
      <div class="three" role="group" aria-labelledby="feel-hand">${this.#hand("left")}${this.#hand("right")}</div>
      ${this.#choice("shake")} ${this.#choice("sound")}
      <p class="soft">${words.always}</p>
      <p id="feel-language">${words.language}</p>
      <div class="three" role="group" aria-labelledby="feel-language">${Object.keys(LANGUAGES).map((one) => this.#language(one))}</div>
    </section>
      <section class="sheet"><h2>${words.lightTitle}</h2>
        <div class="three by-two" role="group" aria-label=${words.lightTitle}>
          ${/** @type {const} */ (["", "day", "sun", "night"]).map((light) => this.#light(light))}</div>
        <p class="soft">${words.lightHelp}</p></section>`;
  }

  /** @param {"" | "day" | "sun" | "night"} light */
  #light(light) {
    return html`<button type="button" class="second" aria-pressed=${String(lightNow() === light)}
      @click=${() => { lightChoose(light); this.requestUpdate(); }}>
      ${icon(light || "phone")} ${words.lights[light]}</button>`;
  }

  /** @param {"left" | "right"} hand */
  #hand(hand) {
    const on = feel("hand") === hand;
    return html`<button type="button" class="second" aria-pressed=${String(on)} @click=${() => this.#take("hand", hand)}>
      ${on ? icon("tick") : ""} ${words.hands[hand]}</button>`;
  }

  /** The words are put in place as the app opens. @param {string} one */
  #language(one) {
    const on = locale() === one;
    const take = () => {
      languageChoose(one);
      location.reload();
    };
    return html`<button type="button" class="second" lang=${one} aria-pressed=${String(on)} @click=${take}>
      ${on ? icon("tick") : ""} ${LANGUAGES[one]}</button>`;
  }

  /** @param {"shake" | "sound"} what */
  #choice(what) {
    return html`<label class="choice"><input type="checkbox" .checked=${feel(what) === "on"}
      @change=${(/** @type {any} */ e) => this.#take(what, e.target.checked ? "on" : "off")}> ${words[what]}</label>`;
  }

  /** @param {import("../feel.js").Feel} what @param {string} to */
  #take(what, to) {
    here[what] = to;
    try {
      localStorage.setItem(what, to);
    } catch {
      // It lasts for this page.
    }
    handShow();
    if (to === "on") keptFeel();
    this.requestUpdate();
  }
}

customElements.define("feel-settings", FeelSettings);
