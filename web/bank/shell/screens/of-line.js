// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { signalsOf } from "../clock.js";
import { ownInForce } from "../facts.js";
import { icon } from "../icons.js";
import { factLog } from "../keeping.js";
import { linesOf } from "../lines.js";
import { loggedAt, nowRight } from "../times.js";
import { uuid7 } from "../uuid7.js";
import { dayWords as words } from "../words.js";
import { OfMatch } from "./of-match.js";

const LOOK_MS = 5_000;

/** What feed and fish share: the line the angler is on, and the minutes since the start. */
export class OfLine extends OfMatch {
  /** @type {import("../feed.js").FeedButton[]} */ made = [];
  /** Until it is kept. @type {string | null} */ tapped = null;
  lineLost = false;
  /** @type {any} */ #look = 0;

  connectedCallback() {
    super.connectedCallback();
    this.#look = setInterval(() => this.requestUpdate(), LOOK_MS);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    clearInterval(this.#look);
  }

  async load() {
    if (bag.person) this.made = (await bag.store.metaGet(this.key("buttons")))?.buttons ?? [];
    await super.load();
    if (!this.lineLost) this.tapped = null;
  }

  /** @param {string} what */
  key(what) {
    return `${what}:${bag.person?.id}:${this.match}`;
  }

  get lines() {
    return linesOf(this.pack?.plan, this.made);
  }

  /** The line feed and fish are noted on; empty where there is only the one without a name. */
  get line() {
    const lines = this.lines;
    const last = ownInForce(this.known, bag.person, "line_note").at(-1);
    const now = this.tapped ?? last?.fact.body.line;
    return lines.find((line) => line === now) ?? lines[0] ?? "";
  }

  /** Minutes since the start, as it was given. @param {number} [at] */
  minute(at = nowRight()) {
    const start = signalsOf(this.pack.match, this.known).find((s) => s.name === "start");
    return (at - (start?.at ?? at)) / 60_000;
  }

  /** @param {import("../facts.js").Fact} fact */
  minuteOf(fact) {
    return this.minute(loggedAt(fact));
  }

  /** One tap, and what is noted from now on is on that line. */
  lineKeys() {
    if (this.lines.length < 2) return nothing;
    return html`<div class="line-keys" role="group" aria-label=${words.lineTitle}>${this.lines.map((line) => {
      const now = line === this.line;
      return html`<button type="button" class="second" aria-pressed=${String(now)} @click=${() => this.#lineTake(line)}>
        ${now ? html`<small>${icon("tick")} ${words.lineNow}</small>` : nothing} <span>${words.line(line)}</span></button>`;
    })}</div>${this.lineLost ? html`<p class="field-bad" role="alert">${words.lineNotKept}</p>` : nothing}`;
  }

  /** @param {string} line */
  async #lineTake(line) {
    if (line === this.line) return;
    this.tapped = line;
    this.requestUpdate();
    this.lineLost = !(await factLog({
      id: uuid7(), kind: "line_note", match: this.match, peg: this.pack.mine?.peg ?? "", body: { line },
    }, words.lineTaken(line)));
    this.requestUpdate();
  }
}
