// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { signalsOf, standing } from "../clock.js";
import { weighedByPeg } from "../facts.js";
import { icon } from "../icons.js";
import { factLog } from "../keeping.js";
import { riverStrip } from "../river.js";
import { wasKey } from "../sync.js";
import { dateText, nowRight, spanText, timeText } from "../times.js";
import { uuid7 } from "../uuid7.js";
import { amountText, amountUpText, words } from "../words.js";
import { placeName } from "./matches.js";
import { OfMatch } from "./of-match.js";

/** @type {("start" | "five_minutes" | "end")[]} */
const SIGNALS = ["start", "five_minutes", "end"];

/** One match: the clock, my peg, where to go, what to take care of. */
class ScreenMatch extends OfMatch {
  /** @type {any} */ #tick = 0;

  connectedCallback() {
    super.connectedCallback();
    this.#tick = setInterval(() => this.requestUpdate(), 1_000);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    clearInterval(this.#tick);
  }

  /** The results are the server's: without signal the way there would end outside the app.
   * @param {string} address */
  #board(address) {
    if (bag.signal === "no_signal") {
      return html`<p class="way-later">${icon("board")} ${words.boardLater}</p>`;
    }
    return html`<a class="way way-wide" href=${address}>${icon("board")} ${words.goBoard}</a>`;
  }

  /** @param {any} pack */
  draw(pack) {
    const { match, mine, pegs } = pack;
    const weighed = new Set(weighedByPeg(this.known, pack).keys());
    return html`
      <h1>${match.name}</h1>
      <p class="under">${dateText(match.date)} · ${placeName(match.venue)}${
        match.water ? `, ${match.water}` : ""}</p>
      ${match.called_off ? calledOff(match.called_off) : html`
        ${this.#changed(match.timezone)}${this.#clock(match)}`}
      ${mine ? html`<p class="my-peg"><span>${words.yourPeg}</span> <b>${mine.peg}</b>
          <span>${words.section(mine.section)}${mine.team ? ` · ${mine.team}` : ""}</span></p>`
        : html`<p class="soft">${words.noPeg}</p>`}
      ${riverStrip(pegs, { mine: mine?.peg ?? null, weighed })}
      <nav class="ways" aria-label=${match.name}>
        <a class="way" href=${`#/match/${this.match}/weigh`}>${icon("scales")} ${words.goWeigh}</a>
        <a class="way" href=${`#/match/${this.match}/feed`}>${icon("feed")} ${words.goFeed}</a>
        <a class="way" href=${`#/match/${this.match}/peg`}>${icon("fish")} ${words.goPeg}</a>
        <a class="way" href=${`#/match/${this.match}/plan`}>${icon("plan")} ${words.goPlan}</a>
        ${match.board_url ? this.#board(match.board_url) : nothing}
      </nav>
      ${match.cautions ? html`<section class="note warn"><h2>${icon("refused")} ${words.cautions}</h2>
        <p class="lines">${match.cautions}</p></section>` : nothing}
      ${this.#limits(match.limits)}
      ${pack.person.may_weigh && !match.called_off ? this.#signalButtons(match) : nothing}
      ${this.#team(pack)}
      <p class="soft">${words.fetched(timeText(this.at, match.timezone))}</p>`;
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
        words.timeWas(words.signalNames[name], said(now.get(name)), said(this.was[name]))}</li>`)}</ul>
      <button type="button" class="second" @click=${this.#seen}>${words.timesSeen}</button></section>`;
  }

  #seen = async () => {
    if (bag.person) await bag.store.metaPut(wasKey(bag.person.id, this.match), { times: {} });
    await this.load();
  };

  /** @param {any} match */
  #clock(match) {
    const now = nowRight();
    const zone = match.timezone;
    const signals = signalsOf(match, this.known);
    const { next, passed } = standing(signals, now);
    const last = signals[signals.length - 1];
    const row = (/** @type {import("../clock.js").Signal} */ s) => {
      const [state, mark] = s === next ? ["is-next", icon("ahead")]
        : passed.has(s.name) ? ["is-passed", icon("tick")] : ["", nothing];
      return html`<li class=${state}><b>${timeText(s.at, zone)}</b> <span>${words.signalNames[s.name]}${
        s.given === null ? nothing
          : html` <small>${icon("whistle")} ${words.given(timeText(s.planned, zone))}</small>`}</span>
        <span class="signal-mark">${mark}${s === next ? html` ${words.signalNext}` : nothing}</span></li>`;
    };
    return html`<section class="clock" aria-label=${words.clockTitle}>
      <p class="clock-label">${next ? words.until(words.signalNames[next.name]) : words.over}</p>
      <p class="clock-figure">${next ? spanText(next.at - now) : words.overSince(timeText(last.at, zone))}</p>
      <ol class="signals">${signals.map(row)}</ol>
      <p class="soft">${words.venueTime(match.venue)}</p>
    </section>`;
  }

  /** @param {any} limits */
  #limits(limits) {
    const lines = [
      limits?.groundbait_l
        ? limitLine(words.limitGroundbait(amountText(limits.groundbait_l, "L")), limits.groundbait_mine) : null,
      limits?.bait_l
        ? limitLine(words.limitBait(amountText(limits.bait_l, "L")), limits.bait_mine) : null,
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
      { id: uuid7(), kind: "signal", match: this.match, body: { signal } }, words.signals[signal]);
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

/** @param {string} why */
const calledOff = (why) => html`<section class="note bad"><h2>${icon("refused")} ${words.calledOff}</h2>
  <p>${why}</p></section>`;

/** One part of the limits. @param {any} part */
function limitPart(part) {
  return limitLine(Number(part.allowed_l) === 0 ? words.limitForbidden(part.name)
    : words.limitPart(part.name, amountText(part.allowed_l, "L")), part);
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

customElements.define("screen-match", ScreenMatch);
