// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { signalsOf, standing } from "../clock.js";
import { icon } from "../icons.js";
import { partState } from "../later.js";
import { dayText, nowRight, spanText, timeText } from "../times.js";
import { dayWords, words } from "../words.js";
import { placeName } from "./matches.js";
import { OfMatch } from "./of-match.js";

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
    const { match, mine } = pack;
    partState("./screens/match-more.js");
    return html`
      <h1>${match.name}</h1>
      <p class="under">${dayText(match.date, match.timezone)} · ${placeName(match.venue)}${
        match.water ? `, ${match.water}` : ""}</p>
      ${match.called_off ? calledOff(match.called_off) : this.#clock(match)}
      ${mine ? html`<p class="my-peg"><span>${words.yourPeg}</span> <b>${mine.peg}</b>
          <span>${words.section(mine.section)}${mine.team ? ` · ${mine.team}` : ""}</span></p>`
        : html`<p class="soft">${words.noPeg}</p>`}
      <nav class="ways" aria-label=${match.name}>
        <a class="way" href=${`#/match/${this.match}/weigh`}>${icon("scales")} ${words.goWeigh}</a>
        <a class="way" href=${`#/match/${this.match}/feed`}>${icon("feed")} ${words.goFeed}</a>
        <a class="way" href=${`#/match/${this.match}/fish`}>${icon("fish")} ${dayWords.goFish}</a>
        <a class="way" href=${`#/match/${this.match}/peg`}>${icon("peg")} ${dayWords.goPeg}</a>
        <a class="way" href=${`#/match/${this.match}/plan`}>${icon("plan")} ${words.goPlan}</a>
        <a class="way" href=${`#/match/${this.match}/section`}>${icon("bank")} ${dayWords.goSection}</a>
        <a class="way way-wide" href=${`#/match/${this.match}/pass`}>${icon("phone")} ${words.goPass}</a>
        ${match.board_url ? this.#board(match.board_url) : nothing}
      </nav>
      ${this.#cautions(pack)}
      <match-more .pack=${pack} .known=${this.known} .was=${this.was} .second=${Math.floor(nowRight() / 1000)}></match-more>
      <p class="soft">${words.fetched(timeText(this.at, match.timezone))}</p>`;
  }

  /** The next signal, and how long until then. @param {any} match */
  #clock(match) {
    const now = nowRight();
    const zone = match.timezone;
    const signals = signalsOf(match, this.known);
    const { next } = standing(signals, now);
    const last = signals[signals.length - 1];
    return html`<section class="clock" aria-label=${words.clockTitle}>
      <p class="clock-label">${next ? words.until(words.signalNames[next.name]) : words.over}</p>
      <p class="clock-figure">${next ? spanText(next.at - now) : words.overSince(timeText(last.at, zone))}</p>
    </section>`;
  }

  /** What to beware of here, at my peg first. @param {any} pack */
  #cautions({ match, mine, pegs }) {
    const peg = pegs.find((/** @type {any} */ p) => p.number === mine?.peg);
    const own = [[peg?.power_lines, dayWords.powerLines], [peg?.steep_bank, dayWords.steepBank]].filter(([is]) => is);
    return html`<section class="note warn"><h2>${icon("refused")} ${words.cautions}</h2>
      ${own.map(([, text]) => html`<p><b>${text}</b></p>`)}
      ${match.cautions ? html`<p class="lines">${match.cautions}</p>` : nothing}
      <p>${dayWords.careLocal}</p>
      <p><a class="button second" href=${`#/match/${this.match}/care`}>${icon("ahead")} ${dayWords.goCare}</a></p></section>`;
  }
}

/** @param {string} why */
const calledOff = (why) => html`<section class="note bad"><h2>${icon("refused")} ${words.calledOff}</h2>
  <p>${why}</p></section>`;

customElements.define("screen-match", ScreenMatch);
