// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { signalsOf } from "../clock.js";
import { linesOf } from "../lines.js";
import { icon } from "../icons.js";
import { NotKept } from "../in-time.js";
import { loggedAt, nowRight } from "../times.js";
import { dayWords as words } from "../words.js";
import { OfMatch } from "./of-match.js";

const LOOK_MS = 5_000;

/** What feed and fish share: the line the angler is on, and the minutes since the start. */
export class OfLine extends OfMatch {
  /** @type {import("../feed.js").FeedButton[]} */ made = [];
  /** @type {string | null} */ chosen = null;
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
    if (bag.person) {
      const [made, line] = await Promise.all(
        ["buttons", "line"].map((what) => bag.store.metaGet(this.key(what))));
      this.made = made?.buttons ?? [];
      if (!this.lineLost) this.chosen = line?.line ?? null;
    }
    await super.load();
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
    return lines.find((line) => line === this.chosen) ?? lines[0] ?? "";
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
    this.chosen = line;
    this.requestUpdate();
    try {
      await bag.store.metaPut(this.key("line"), { line });
      this.lineLost = false;
    } catch (error) {
      if (!(error instanceof NotKept)) throw error;
      this.lineLost = true;
    }
    this.requestUpdate();
  }
}
