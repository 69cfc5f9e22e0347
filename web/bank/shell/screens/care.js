// @ts-check
import { html } from "../element.js";
import { careWords as words } from "../words-care.js";
import { OfMatch } from "./of-match.js";

/** What to do in lightning, flood, under power lines; local rules first. */
class ScreenCare extends OfMatch {
  /** @param {any} pack */
  draw({ match }) {
    return html`<h1>${words.careTitle}</h1>
      <p class="note warn">${words.careFirst}</p>
      ${match.cautions ? html`<section class="sheet"><h2>${match.venue}</h2><p class="lines">${match.cautions}</p></section>` : ""}
      ${words.cares.map(([title, lines]) => html`<section class="sheet"><h2>${title}</h2>
        ${/** @type {string[]} */ (lines).map((line) => html`<p>${line}</p>`)}</section>`)}`;
  }
}

customElements.define("screen-care", ScreenCare);
