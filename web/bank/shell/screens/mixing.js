// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { icon } from "../icons.js";
import { keeping } from "../keeping.js";
import { mixShort, restBegin, restGoOn, restOf, restStop } from "../mixing.js";
import { NotKept } from "../store.js";
import { nowRight, spanText, timeText } from "../times.js";
import { planWords as words } from "../words-plan.js";
import { amountBoth } from "../words.js";
import { OfMatch } from "./of-match.js";
import "./throw-parts.js";

/** What goes into each mix, in what order, the clock of its rest, and what a ball takes. */
class ScreenMixing extends OfMatch {
  /** @type {Record<string, import("../mixing.js").RestRow>} by mix */ rests = {};
  /** @type {any} */ #tick = 0;

  connectedCallback() {
    super.connectedCallback();
    this.#tick = setInterval(() => this.requestUpdate(), 1_000);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    clearInterval(this.#tick);
  }

  async load() {
    const row = bag.person ? await bag.store.metaGet(this.#key()) : null;
    this.rests = row?.rests ?? {};
    await super.load();
  }

  #key() {
    return `rests:${bag.person?.id}:${this.match}`;
  }

  /** @param {any} pack */
  draw(pack) {
    const mixes = pack.mixing ?? [];
    return html`<h1>${words.mixTitle}</h1>
      <section class="note warn"><p>${words.mixRules}</p><p>${words.mixHemp}</p></section>
      ${mixes.length ? mixes.map((/** @type {any} */ mix) => this.#mix(mix, pack.match.timezone))
        : html`<p>${words.mixNone}</p>`}
      <throw-list .pack=${pack} .known=${this.known}></throw-list>`;
  }

  /** @param {any} mix @param {string} zone */
  #mix(mix, zone) {
    return html`<section class="sheet mixing"><h2>${words.mixName(mix.name)}</h2>
      <ol>
        <li><b>${words.mixDry}</b>${parts(mix.dry)}</li>
        <li><b>${mix.water_l === null ? words.mixWaterUnknown : words.mixWater(mix.water_l)}</b>
          <p>${words.mixWaterHow}</p></li>
        <li><b>${words.mixRest(mix.rest_minutes)}</b>${this.#rest(mix, zone)}</li>
        <li><b>${words.mixRiddle}</b></li>
        ${mix.after.length ? html`<li><b>${words.mixAfter}</b>${parts(mix.after)}</li>` : nothing}
        ${mix.balls.length ? html`<li><b>${words.mixLoad}</b></li>` : nothing}
      </ol>
      ${mix.ready_l === null ? nothing : html`<p>${words.mixReady(mix.ready_l)}</p>`}
      ${mixShort(mix) ? html`<p class="short">${icon("refused")} ${words.mixShort(mixShort(mix))}</p>` : nothing}
      ${mix.balls.map(balls)}
      ${mix.most.map(most)}</section>`;
  }

  /** @param {any} mix @param {string} zone */
  #rest(mix, zone) {
    const row = this.rests[mix.name];
    const rest = restOf(mix.rest_minutes, row, Date.now());
    const at = (/** @type {number} */ moment) => timeText(moment + nowRight() - Date.now(), zone);
    if (rest.state === "none") {
      return html`<div class="row"><button type="button" @click=${() => this.#set(mix, restBegin(Date.now()))}>
          ${icon("clock")} ${words.restStart}</button>
        ${row?.was ? html`<button type="button" class="second" @click=${() => this.#set(mix, restGoOn(row))}>
          ${icon("undo")} ${words.restGoOn(at(row.was))}</button>` : nothing}</div>`;
    }
    const stop = html`<button type="button" class="second" @click=${() => this.#set(mix, restStop(row))}>
      ${rest.state === "rests" ? words.restStop : words.restClear}</button>`;
    if (rest.state === "rested") {
      return html`<div class="rest is-done"><p role="status">${icon("tick")}
        <b>${words.rested(at(rest.ready))}</b></p>${stop}</div>`;
    }
    return html`<div class="rest"><p class="rest-figure" role="timer">${spanText(rest.left + 999)}</p>
      <p>${words.restTimes(at(row.from ?? 0), at(rest.ready))}</p>${stop}</div>`;
  }

  /** Keep where a rest stands, then show it; a phone that cannot write says so.
   * @param {any} mix @param {import("../mixing.js").RestRow} row */
  async #set(mix, row) {
    const rests = { ...this.rests, [mix.name]: row };
    try {
      await bag.store.metaPut(this.#key(), { rests });
      this.rests = rests;
      keeping.failed = null;
    } catch (error) {
      if (!(error instanceof NotKept)) throw error;
      keeping.failed = words.restNotKept;
    }
    bag.dispatchEvent(new Event("change"));
  }
}

/** @param {any[]} list */
const parts = (list) => html`<ul class="plain">${list.map((part) => html`
  <li><b>${amountBoth(part.amount, part.unit)}</b> ${part.name}</li>`)}</ul>`;

/** @param {any} b */
function balls(b) {
  const kind = words.stageKinds[/** @type {"feed"} */ (b.kind)] ?? b.kind;
  const held = b.holds === null ? words.ballsUnknown : b.holds ? words.ballsHold : words.ballsBreak;
  return html`<h3>${kind}${b.line ? ` · ${words.stageLine(b.line)}` : ""}: ${words.ballsOf(b.count, b.mm)}</h3>
    ${b.load.length ? html`${parts(b.load)}
      <p>${words.ballsEach(b.each_ml, b.most_each_ml)}</p>
      <p class=${b.holds ? "peg-state is-good" : "peg-state is-warn"}>
        ${icon(b.holds ? "tick" : "refused")} ${held}</p>` : html`<p>${words.ballsBare}</p>`}`;
}

/** @param {any} m */
const most = (m) => html`<p class="soft">${words.ballMost(m.mm, m.hemp_ml, m.dead_maggot_ml)}</p>`;

customElements.define("screen-mixing", ScreenMixing);
