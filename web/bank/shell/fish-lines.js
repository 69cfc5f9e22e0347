// @ts-check
/** On the fish screen: which line brings more, with its doubt. */
import { BankElement, html, nothing } from "./element.js";
import { icon } from "./icons.js";
import { lineBetter, linesCompared } from "./lines-catch.js";
import { dayWords } from "./words.js";
import { fishWords as words } from "./words-fish.js";

class FishLines extends BankElement {
  static properties = { day: { attribute: false } };

  constructor() {
    super();
    /** @type {import("./lines-catch.js").Day | null} */ this.day = null;
    /** @type {{key: string, lines: ReturnType<typeof linesCompared>}} */ this.last = { key: "", lines: null };
  }

  render() {
    if (!this.day) return nothing;
    // The screen draws itself every few seconds; a rate changes with a fish or a minute.
    const day = { ...this.day, minute: Math.floor(this.day.minute) };
    const key = JSON.stringify([day.minute, day.switches.length, day.caught.length, day.first]);
    if (key !== this.last.key) this.last = { key, lines: linesCompared(day) };
    const lines = this.last.lines;
    if (!lines) return nothing;
    const best = lineBetter(lines);
    return html`<section class="sheet" aria-labelledby="lines-now"><h2 id="lines-now">${words.linesTitle}</h2>
      <ul class="plain">${lines.map((line) => html`<li>${words.lineRate(dayWords.line(line.name), rate(line.perHour), rate(line.perHour90[0]), rate(line.perHour90[1]))}</li>`)}</ul>
      <p>${icon(best ? "fish" : "clock")} ${best
        ? words.lineBetter(dayWords.line(best.name), Math.min(99, Math.round(best.best * 100))) : words.lineUnsure}</p></section>`;
  }
}

/** No more exact than it is known. @param {number} perHour */
const rate = (perHour) => (perHour >= 10 ? perHour.toFixed(0) : perHour.toFixed(1));

customElements.define("fish-lines", FishLines);
