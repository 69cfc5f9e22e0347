// @ts-check
/** What the fish screen shows beside its keys: the catch at a guess, and the sizes to guess by. */
import { BankElement, html, nothing } from "../element.js";
import "../fish-lines.js";
import { bag } from "../bag.js";
import { catchOf, paceNeeded, paceNow, sizesOwn } from "../fish-pace.js";
import { gramsOf, SIZES, speciesOf } from "../fish-sizes.js";
import { icon } from "../icons.js";
import { weightText } from "../weights.js";
import { dayWords, fishNamed } from "../words.js";
import { fishWords as words } from "../words-fish.js";

/** The catch and its pace, never called more than an estimate. */
class FishCatch extends BankElement {
  static properties = { now: { attribute: false } };

  constructor() {
    super();
    /** @type {{caught: import("../fish-pace.js").Caught[], minute: number, left: number, unit: "g" | "dr", target: number | null} | null} */
    this.now = null;
  }

  render() {
    if (!this.now) return nothing;
    const { caught, minute, left, unit, target } = this.now;
    const { fish, about, unknown } = catchOf(caught);
    const pace = paceNow(caught, minute);
    const needed = target ? paceNeeded(target, about, left) : null;
    const text = (/** @type {number} */ weight) => weightText(weight, unit);
    return html`<section class="catch"><p><b class="catch-figure">${words.guess(text(about))}</b>
        <span>${words.guessIs(fish)}</span></p>
      <p>${pace === null ? words.paceSoon : words.pace(text(pace))}</p>
      ${target === null || needed === null ? nothing
        : html`<p>${needed ? words.needed(text(needed), text(target)) : words.targetThere(text(target))}</p>`}
      ${unknown ? html`<p class="soft">${words.guessWithout(unknown)}</p>` : nothing}</section>`;
  }
}

/** The weight to fish for, and what a fish of each size weighs here. */
class FishSizes extends BankElement {
  static properties = {
    match: { attribute: false }, own: { attribute: false }, target: { attribute: false }, keys: { attribute: false },
  };

  constructor() {
    super();
    /** @type {any} */ this.match = {};
    /** @type {import("../fish-sizes.js").Sizes} */ this.own = {};
    /** @type {number | null} */ this.target = null;
    /** @type {{sizes: string, target: string}} */ this.keys = { sizes: "", target: "" };
    this.bad = false;
    this.kept = false;
  }

  render() {
    const unit = /** @type {"g" | "dr"} */ (this.match.weight_unit ?? "g");
    return html`<details class="sheet"><summary>${words.targetTitle}</summary>
      <form @submit=${this.#keep}>
        ${field("target", words.target[unit], this.target)}
        <p>${words.sizesHelp}</p>
        ${speciesOf(this.match, this.own).map((s) => html`<div class="three">${SIZES.map((size, i) =>
          field(`${s}|${i}`, words.sizeOf(fishNamed(s), dayWords.sizes[size]), gramsOf(s, this.own)[i]))}</div>`)}
        <p class="field-bad" role="alert">${this.bad ? words.sizesBad : nothing}</p>
        <button type="submit">${icon("tick")} ${words.sizesKeep}</button>
        <p role="status">${this.kept ? words.sizesKept : nothing}</p></form></details>`;
  }

  /** @param {SubmitEvent} event */
  #keep = async (event) => {
    event.preventDefault();
    const typed = new FormData(/** @type {HTMLFormElement} */ (event.target));
    const read = (/** @type {string} */ name) => String(typed.get(name) ?? "").trim();
    this.bad = [...typed.keys()].some((name) => !/^\d{0,7}$/.test(read(name)));
    this.kept = !this.bad;
    if (this.kept) {
      const whole = (/** @type {string} */ name) => (read(name) === "" ? null : Number(read(name)));
      const now = speciesOf(this.match, this.own)
        .map((s) => [s, SIZES.map((_, i) => whole(`${s}|${i}`))]);
      await bag.store.metaPut(this.keys.sizes, { sizes: sizesOwn({ ...this.own, ...Object.fromEntries(now) }) });
      await bag.store.metaPut(this.keys.target, { weight: whole("target") });
    }
    bag.dispatchEvent(new Event("change"));
  };
}

/** @param {string} name @param {string} label @param {number | null} value */
const field = (name, label, value) => html`<label>${label}
  <input name=${name} inputmode="numeric" autocomplete="off" maxlength="7" .value=${String(value ?? "")}></label>`;

customElements.define("fish-catch", FishCatch);
customElements.define("fish-sizes", FishSizes);
