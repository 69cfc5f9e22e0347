// @ts-check
/** What stands below the ways of a match: the bank, its limits, its signals to give, the team. */
import { BankElement, html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { signalsOf, standing } from "../clock.js";
import { weighedByPeg } from "../facts.js";
import { icon } from "../icons.js";
import { factLog } from "../keeping.js";
import { riverStrip } from "../river.js";
import { wasKey } from "../sync.js";
import { nowRight, timeText } from "../times.js";
import { uuid7 } from "../uuid7.js";
import { amountBoth, amountUpText, words as shared } from "../words.js";
import { matchWords as words } from "../words-match.js";

/** @type {("start" | "five_minutes" | "end")[]} */
const SIGNALS = ["start", "five_minutes", "end"];

class MatchMore extends BankElement {
  static properties = { pack: { attribute: false }, known: { attribute: false }, was: { attribute: false },
    second: { attribute: false } };

  constructor() {
    super();
    /** @type {any} */ this.pack = null;
    /** @type {import("../facts.js").Known[]} */ this.known = [];
    /** @type {import("../clock.js").Was} */ this.was = {};
    this.second = 0;
  }

  render() {
    if (!this.pack) return nothing;
    const { match, person, pegs, mine } = this.pack;
    const weighed = new Set(weighedByPeg(this.known, this.pack).keys());
    return html`${this.#changed(match.timezone)} ${match.called_off ? nothing : this.#signals(match)}
      ${riverStrip(pegs, { mine: mine?.peg ?? null, weighed })}
      ${this.#limits(match.limits)}
      ${person.may_weigh && !match.called_off ? this.#signalButtons(match) : nothing}
      ${this.#team(this.pack)}`;
  }

  /** Times that changed since this person last said that they saw them. @param {string} zone */
  #changed(zone) {
    const names = /** @type {import("../clock.js").Name[]} */ (Object.keys(this.was));
    if (!names.length) return nothing;
    const now = new Map(signalsOf(this.pack.match, []).map((s) => [s.name, s.planned]));
    const said = (/** @type {number | null | undefined} */ at) =>
      at === null || at === undefined ? null : timeText(at, zone);
    return html`<section class="note warn" role="status"><h2>${icon("clock")} ${words.timesChanged}</h2>
      <ul>${names.map((name) => html`<li>${
        words.timeWas(shared.signalNames[name], said(now.get(name)), said(this.was[name]))}</li>`)}</ul>
      <button type="button" class="second" @click=${this.#seen}>${words.timesSeen}</button></section>`;
  }

  #seen = async () => {
    if (bag.person) await bag.store.metaPut(wasKey(bag.person.id, this.pack.match.id), { times: {} });
    bag.dispatchEvent(new Event("change"));
  };

  /** @param {any} match */
  #signals(match) {
    const zone = match.timezone;
    const signals = signalsOf(match, this.known);
    const { next, passed } = standing(signals, nowRight());
    const row = (/** @type {import("../clock.js").Signal} */ s) => {
      const [state, mark] = s === next ? ["is-next", icon("ahead")]
        : passed.has(s.name) ? ["is-passed", icon("tick")] : ["", nothing];
      return html`<li class=${state}><b>${timeText(s.at, zone)}</b> <span>${shared.signalNames[s.name]}${
        s.given === null ? nothing
          : html` <small>${icon("whistle")} ${words.given(timeText(s.planned, zone))}</small>`}</span>
        <span class="signal-mark">${mark}${s === next ? html` ${words.signalNext}` : nothing}</span></li>`;
    };
    return html`<section><h2>${shared.clockTitle}</h2><ol class="signals">${signals.map(row)}</ol>
      <p class="soft">${words.venueTime(match.venue)}</p></section>`;
  }

  /** @param {any} limits */
  #limits(limits) {
    const lines = [
      limits?.groundbait_l
        ? limitLine(words.limitGroundbait(amountBoth(limits.groundbait_l, "L")), limits.groundbait_mine) : null,
      limits?.bait_l
        ? limitLine(words.limitBait(amountBoth(limits.bait_l, "L")), limits.bait_mine) : null,
    ].filter(Boolean);
    lines.push(...(limits?.parts ?? []).map(limitPart));
    return html`<section class="sheet"><h2>${words.limits}</h2>
      ${lines.length ? html`<ul>${lines.map((line) => html`<li>${line}</li>`)}</ul>`
        : html`<p>${words.limitNone}</p>`}
      <p class="soft">${limits?.source ? words.limitSource(limits.source) : nothing}
        ${words.limitLocal}</p></section>`;
  }

  /** @param {any} match */
  #signalButtons(match) {
    const all = match.last_call_min === 0 ? SIGNALS.filter((s) => s !== "five_minutes") : SIGNALS;
    return html`<section class="sheet"><h2>${words.signalsTitle}</h2><p>${words.signalsHelp}</p>
      <div class="three">${all.map((signal) => html`
        <button type="button" class="second" @click=${() => this.#signal(signal)}>
          ${words.signalButtons[signal]}</button>`)}</div></section>`;
  }

  /** @param {"start" | "five_minutes" | "end"} signal */
  #signal(signal) {
    return factLog(
      { id: uuid7(), kind: "signal", match: this.pack.match.id, body: { signal } }, shared.signals[signal]);
  }

  /** @param {any} pack */
  #team({ mine, pegs }) {
    const mates = mine?.team
      ? pegs.filter((/** @type {any} */ p) => p.angler && p.team === mine.team) : [];
    if (!mates.length) return nothing;
    return html`<section class="sheet"><h2>${words.teamMates}</h2><ul class="plain">
      ${mates.map((/** @type {any} */ p) => html`<li><b class="peg-number">${p.section}${p.number}</b> ${p.angler}</li>`)}
    </ul></section>`;
  }
}

/** One part of the limits. @param {any} part */
function limitPart(part) {
  return limitLine(Number(part.allowed_l) === 0 ? words.limitForbidden(part.name)
    : words.limitPart(part.name, amountBoth(part.allowed_l, "L")), part);
}

/** A limit with what one's own plan uses of it, where there is one.
 * @param {string} head @param {{ used_l: string | null, within: boolean | null } | null | undefined} mine
 *   undefined in a package from before it was told */
function limitLine(head, mine) {
  if (!mine || mine.used_l === null) return head;
  const within = mine.within === null ? [icon("refused"), words.limitUnjudged]
    : mine.within ? [icon("tick"), words.limitWithin] : [icon("refused"), words.limitOver];
  return html`${head} · ${words.limitMine(amountUpText(mine.used_l, "L"))} ${within[0]} ${within[1]}`;
}

customElements.define("match-more", MatchMore);
