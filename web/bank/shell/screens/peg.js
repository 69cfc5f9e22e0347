// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { ownInForce } from "../facts.js";
import { icon } from "../icons.js";
import { factLog } from "../keeping.js";
import { pegNoteBody, speedText } from "../peg-notes.js";
import { loggedAt, timeText } from "../times.js";
import { uuid7 } from "../uuid7.js";
import { words } from "../words.js";
import { OfMatch } from "./of-match.js";

/** What the peg is like: depth, flow, where the rig settles. */
class ScreenPeg extends OfMatch {
  bad = false;
  /** @type {number | null} */ watchFrom = null;

  /** @param {any} pack */
  draw(pack) {
    return html`<h1>${words.pegTitle}</h1>
      <section><h2>${words.notesTitle}</h2>
        ${ownInForce(this.known, bag.person, "peg_note").reverse().map((k) => this.#note(k.fact, pack))}
        <p><a class="button second" href=${`#/match/${this.match}/swim`}>${icon("feed")} ${words.toSwim}</a></p>
        ${this.#form(pack)}</section>`;
  }

  /** @param {import("../facts.js").Fact} fact @param {any} pack */
  #note(fact, pack) {
    const { body } = fact;
    const run = body.float_run;
    const lines = [
      body.depth_cm === null ? null : words.depthText(body.depth_cm),
      run ? words.flowText(run.distance_cm, (run.ms / 1000).toFixed(1), speedText(run)) : null,
      body.rig_settles_cm === null ? null : words.settlesText(body.rig_settles_cm),
      body.note || null,
    ].filter(Boolean);
    return html`<div class="sheet"><p class="log-time">${timeText(loggedAt(fact), pack.match.timezone)}</p>
      ${lines.map((line) => html`<p>${line}</p>`)}</div>`;
  }

  /** @param {any} pack */
  #form(pack) {
    const number = (/** @type {string} */ name, /** @type {string} */ label, mode = "numeric") => html`
      <label>${label}<input name=${name} inputmode=${mode} autocomplete="off" maxlength="8"></label>`;
    return html`<form class="sheet" @submit=${(/** @type {any} */ e) => this.#keep(e, pack)}>
      ${number("depth", words.depth)}
      ${number("distance", words.runDistance)}
      ${number("seconds", words.runSeconds, "decimal")}
      <button type="button" class="second watch" @click=${this.#watch}>${icon("clock")}
        ${this.watchFrom === null ? words.watchStart : words.watchStop}</button>
      ${number("settles", words.settles)}
      <label>${words.pegNote}<input name="note" maxlength="500" autocomplete="off"></label>
      <p class="field-bad" role="alert">${this.bad ? words.pegNumbersBad : nothing}</p>
      <button type="submit">${icon("tick")} ${words.pegKeep}</button></form>`;
  }

  /** The watch counts by the page's own clock, which no clock change can move. */
  #watch = () => {
    if (this.watchFrom === null) {
      this.watchFrom = performance.now();
    } else {
      const seconds = (performance.now() - this.watchFrom) / 1000;
      this.watchFrom = null;
      const field = /** @type {HTMLInputElement} */ (this.querySelector("[name=seconds]"));
      field.value = seconds.toFixed(1);
    }
    this.requestUpdate();
  };

  /** @param {SubmitEvent} event @param {any} pack */
  async #keep(event, pack) {
    event.preventDefault();
    const form = /** @type {HTMLFormElement} */ (event.target);
    const typed = /** @type {any} */ (Object.fromEntries(new FormData(form)));
    const body = pegNoteBody(typed);
    this.bad = body === null;
    const kept = body !== null && await factLog({
      id: uuid7(), kind: "peg_note", match: this.match, peg: pack.mine?.peg ?? "", body,
    }, words.pegNoteKept);
    if (kept) form.reset();
    this.requestUpdate();
  }
}

customElements.define("screen-peg", ScreenPeg);
