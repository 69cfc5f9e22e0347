// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { ownInForce } from "../facts.js";
import { flowOf, metresText, runOf, speedOf } from "../float-runs.js";
import { icon } from "../icons.js";
import { factLog, factScratch } from "../keeping.js";
import { pegNoteBody } from "../peg-notes.js";
import { isPlain, plainWords } from "../plain-text.js";
import { dateText, loggedAt, timeText } from "../times.js";
import { uuid7 } from "../uuid7.js";
import { pegWords as words } from "../words-peg.js";
import { OfMatch } from "./of-match.js";
import "./rig-watch.js";

const USUAL_WAY_CM = "1000";
const TICK_MS = 100;

/** What the peg is like: flow by float runs, depth, where the rig settles, snags; today and before. */
class ScreenPeg extends OfMatch {
  /** @type {string | null} */ bad = null;
  odd = false;
  way = USUAL_WAY_CM;
  /** @type {number | null} */ watchFrom = null;
  /** @type {any} */ #tick = 0;

  disconnectedCallback() {
    super.disconnectedCallback();
    clearInterval(this.#tick);
  }

  /** @param {any} pack */
  draw(pack) {
    const notes = ownInForce(this.known, bag.person, "peg_note").reverse();
    const runs = notes.filter((k) => k.fact.body.float_run);
    return html`<h1>${words.pegTitle(pack.mine?.peg ?? "")}</h1>
      ${this.#flow(runs, pack)}
      <rig-watch .pack=${pack} .known=${this.known}></rig-watch>
      <section><h2>${words.notesTitle}</h2>
        ${notes.map((k) => noteSheet(timeText(loggedAt(k.fact), pack.match.timezone), k.fact.body))}
        ${this.#form(pack)}
        <p><a class="button" href=${`#/match/${this.match}/swim`}>${icon("feed")} ${words.toSwim}</a></p></section>
      ${this.#before(pack)}`;
  }

  /** @param {import("../facts.js").Known[]} runs @param {any} pack */
  #flow(runs, pack) {
    const flow = flowOf(runs.map((k) => k.fact.body.float_run));
    const on = this.watchFrom !== null;
    return html`<section><h2>${words.flowTitle}</h2>
      ${flow ? html`<p role="status"><b class="catch-figure">${words.flowMean(metresText(flow.mean))}</b>
          ${words.flowOf(flow.many)}${flow.many > 1 ? `, ${words.flowSpread(metresText(flow.least), metresText(flow.most))}` : nothing}</p>`
        : html`<p class="under">${words.flowHelp}</p>`}
      <label>${words.runDistance}<input name="way" inputmode="numeric" autocomplete="off" maxlength="6"
        .value=${this.way} @input=${(/** @type {any} */ e) => { this.way = e.target.value; }}></label>
      <p class="field-bad" role="alert">${this.odd ? words.runOdd : nothing}</p>
      <button type="button" class="throw watch ${on ? "is-on" : ""}" @click=${() => this.#watch(pack)}>
        ${icon("clock")} <b>${on ? words.watchStop : words.watchStart}</b>
        ${on ? html`<span class="rest-figure">${words.watchSeconds(this.#seconds().toFixed(1))}</span>` : nothing}</button>
      <ul class="log">${runs.map((k) => html`<li>
        <span class="log-time">${timeText(loggedAt(k.fact), pack.match.timezone)}</span>
        <span class="log-what">${runText(k.fact.body.float_run)}</span>
        <button type="button" class="quiet" @click=${() => factScratch(k.fact)}>${icon("undo")} ${words.takeBack}</button></li>`)}</ul>
      <details class="sheet"><summary>${words.typedTitle}</summary>
        <form @submit=${(/** @type {any} */ e) => this.#typed(e, pack)}>
          <label>${words.runSeconds}<input name="seconds" inputmode="decimal" autocomplete="off" maxlength="8"></label>
          <button type="submit">${icon("tick")} ${words.runKeep}</button></form></details></section>`;
  }

  /** The watch counts by the page's own clock, which no clock change can move. */
  #seconds() {
    return (performance.now() - (this.watchFrom ?? performance.now())) / 1000;
  }

  /** @param {any} pack */
  async #watch(pack) {
    clearInterval(this.#tick);
    this.odd = false;
    if (this.watchFrom === null) {
      this.watchFrom = performance.now();
      this.#tick = setInterval(() => this.requestUpdate(), TICK_MS);
    } else {
      const seconds = this.#seconds();
      this.watchFrom = null;
      await this.#runKeep(seconds * 1000, pack);
    }
    this.requestUpdate();
  }

  /** @param {SubmitEvent} event @param {any} pack */
  async #typed(event, pack) {
    event.preventDefault();
    const form = /** @type {HTMLFormElement} */ (event.target);
    const typed = String(new FormData(form).get("seconds")).trim().replace(",", ".");
    if (await this.#runKeep(/^\d{1,4}(\.\d{1,3})?$/.test(typed) ? Number(typed) * 1000 : 0, pack)) form.reset();
    this.requestUpdate();
  }

  /** @param {number} ms @param {any} pack */
  async #runKeep(ms, pack) {
    const float_run = /^\d{1,6}$/.test(this.way.trim()) ? runOf(Number(this.way), ms) : null;
    this.odd = float_run === null;
    if (!float_run) return false;
    const body = { depth_cm: null, float_run, rig_settles_cm: null, note: "" };
    return this.#log(body, words.runKept(metresText(speedOf(float_run))), pack);
  }

  /** @param {Record<string, any>} body @param {string} what @param {any} pack */
  #log(body, what, pack) {
    return factLog({ id: uuid7(), kind: "peg_note", match: this.match, peg: pack.mine?.peg ?? "", body }, what);
  }

  /** @param {any} pack */
  #form(pack) {
    const number = (/** @type {string} */ name, /** @type {string} */ label, mode = "numeric") => html`
      <label>${label}<input name=${name} inputmode=${mode} autocomplete="off" maxlength="8"></label>`;
    const text = (/** @type {string} */ name, /** @type {string} */ label) => html`
      <label>${label}<input name=${name} maxlength="500" autocomplete="off"></label>`;
    return html`<form class="sheet" @submit=${(/** @type {any} */ e) => this.#keep(e, pack)}>
      ${number("depth", words.depth)} ${number("settles", words.settles)}
      ${number("celsius", words.celsius, "decimal")}
      ${text("snags", words.snags)} ${text("note", words.pegNote)}
      <p class="field-bad" role="alert">${this.bad ?? nothing}</p>
      <button type="submit">${icon("tick")} ${words.pegKeep}</button></form>`;
  }

  /** @param {SubmitEvent} event @param {any} pack */
  async #keep(event, pack) {
    event.preventDefault();
    const form = /** @type {HTMLFormElement} */ (event.target);
    const typed = /** @type {any} */ (Object.fromEntries(new FormData(form)));
    const body = pegNoteBody(typed);
    this.bad = body ? null : words.pegNumbersBad;
    if (!isPlain(typed.snags + typed.note)) this.bad = plainWords.odd;
    if (body && !this.bad && await this.#log(body, words.pegNoteKept, pack)) form.reset();
    this.requestUpdate();
  }

  /** @param {any} pack */
  #before({ pegs, mine, peg_before: before = [] }) {
    if (!mine) return nothing;
    const peg = pegs.find((/** @type {any} */ p) => p.number === mine.peg);
    return html`<section><h2>${words.beforeTitle}</h2>
      ${peg?.depth_cm ? html`<p>${words.venueSays(peg.depth_cm)}</p>` : nothing}
      ${peg?.notes ? html`<p class="lines">${peg.notes}</p>` : nothing}
      ${before.length ? before.map((/** @type {any} */ n) => noteSheet(words.beforeBy(dateText(n.date), n.author), n.body))
        : html`<p class="soft">${words.beforeNone}</p>`}</section>`;
  }
}

/** What a note says beside a run; nothing where it says no more. @param {string} head @param {any} body */
function noteSheet(head, body) {
  const lines = [
    body.depth_cm == null ? null : words.depthText(body.depth_cm),
    body.rig_settles_cm == null ? null : words.settlesText(body.rig_settles_cm, body.rig_settles_ms),
    body.celsius_tenths == null ? null : words.celsiusText(body.celsius_tenths),
    body.snags ? words.snagsText(body.snags) : null,
    body.note || null,
  ].filter(Boolean);
  if (!lines.length) return nothing;
  return html`<div class="sheet"><p class="log-time">${head}</p>${lines.map((line) => html`<p>${line}</p>`)}</div>`;
}

/** @param {import("../float-runs.js").Run} run */
const runText = (run) => words.runText(run.distance_cm, (run.ms / 1000).toFixed(1), metresText(speedOf(run)));

customElements.define("screen-peg", ScreenPeg);
