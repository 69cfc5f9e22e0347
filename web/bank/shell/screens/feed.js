// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { ownInForce } from "../facts.js";
import { planButtons } from "../feed.js";
import { throwDue } from "../feed-due.js";
import { icon } from "../icons.js";
import { factLog } from "../keeping.js";
import { partState } from "../later.js";
import { nameOf, stageOf, throwText } from "../lines.js";
import { inTurn } from "../times.js";
import { uuid7 } from "../uuid7.js";
import { dayWords, amountText, words } from "../words.js";
import { OfLine } from "./of-line.js";

/** @typedef {import("../feed.js").FeedButton} FeedButton */
/** @typedef {import("../feed-due.js").Fed} Fed */

/** One tap, one throw; how that stands against plan and bag; and what has gone in and when. */
class ScreenFeed extends OfLine {
  /** @param {any} pack */
  draw(pack) {
    const buttons = [...planButtons(pack.plan), ...this.made];
    const here = buttons.filter((b) => !b.line || b.line === this.line);
    const elsewhere = buttons.filter((b) => !here.includes(b));
    const notes = this.#notes();
    const now = { pack, fed: notes.map((k) => this.#fed(k)), line: this.line, minute: this.minute() };
    partState("./screens/feed-more.js");
    return html`<h1>${words.feedTitle}</h1>
      ${buttons.length ? nothing : html`<p class="under">${words.feedNoPlan}</p>`}
      ${this.lineKeys()} ${pack.plan ? html`<feed-due .now=${now}></feed-due>` : nothing}
      ${this.#again(here, notes, now)}
      <div class="throws">${here.map((b) => this.#button(b, pack))}</div>
      ${elsewhere.length ? html`<h2>${dayWords.otherLines}</h2>
        <div class="throws">${elsewhere.map((b) => this.#button(b, pack))}</div>` : nothing}
      <feed-stands .now=${now}></feed-stands>
      <feed-bag .now=${now}></feed-bag>
      <feed-log .notes=${notes} .pack=${pack}></feed-log>
      <feed-maker .pack=${pack} .key=${this.key("buttons")} .made=${this.made}></feed-maker>`;
  }

  /** What this person fed and stands, the last first. */
  #notes() {
    return inTurn(ownInForce(this.known, bag.person, "feed_note")).reverse();
  }

  /** @param {import("../facts.js").Known} known @returns {Fed} */
  #fed({ fact }) {
    const { bait, amount, unit, line } = fact.body;
    return { bait, amount, unit, line: line ?? "", minute: this.minuteOf(fact) };
  }

  /** The last feed of this line once more; before there is one, what the plan says is due on it.
   * @param {FeedButton[]} here @param {import("../facts.js").Known[]} notes
   * @param {{pack: any, fed: Fed[], minute: number}} now */
  #again(here, notes, { pack, fed, minute }) {
    const last = notes.find((k) => (k.fact.body.line ?? "") === this.line)?.fact.body;
    const button = last ? /** @type {FeedButton} */ ({ ...last, name: nameOf(pack, last.bait) })
      : throwDue(here, pack.plan, fed, minute);
    if (!button) return nothing;
    return html`<button type="button" class="throw again" @click=${() => this.#throw(button, pack)}>
      <span>${last ? dayWords.again : dayWords.first}</span> <b>${button.name}</b>
      <span>${throwText({ ...button, line: this.line })}</span></button>`;
  }

  /** @param {FeedButton} b @param {any} pack */
  #button(b, pack) {
    return html`<button type="button" class="throw" @click=${() => this.#throw(b, pack)}>
      <b>${b.name}</b><span>${throwText(b)}</span>
      <throw-said .pack=${pack} .known=${this.known} .of=${b}></throw-said></button>`;
  }

  /** @param {FeedButton} button @param {any} pack */
  #throw({ bait, name, amount, unit, line: own }, pack) {
    const line = own || this.line;
    const stage = stageOf(pack.plan, { bait, line, minute: this.minute() });
    return factLog({
      id: uuid7(), kind: "feed_note", match: this.match, peg: pack.mine?.peg ?? "",
      body: { bait, amount, unit, line, stage },
    }, `${name} ${amountText(amount, unit)}`);
  }
}

customElements.define("screen-feed", ScreenFeed);
