// @ts-check
import { html, nothing } from "../element.js";
import { icon } from "../icons.js";
import { nowRight } from "../times.js";
import { planWords as words } from "../words-plan.js";
import { amountBoth, amountUpText } from "../words.js";
import { OfMatch } from "./of-match.js";
import "./throw-parts.js";

/** My plan, stage by stage, the one that is on now marked; and what is in my bag. */
class ScreenPlan extends OfMatch {
  /** @param {any} pack */
  draw(pack) {
    return html`<h1>${words.planTitle}</h1>
      ${pack.plan ? this.#plan(pack) : html`<p>${words.planNone}</p>
        <p><a class="button second" href=${`/desk/plans/${this.match}/`}>${words.planOpen}</a></p>`}
      ${pack.mixing?.length ? html`<p><a class="button" href=${`#/match/${this.match}/mixing`}>
        ${icon("clock")} ${words.planMixing}</a></p>` : nothing}
      <throw-list .pack=${pack} .known=${this.known}></throw-list>
      <section class="sheet"><h2>${icon("bag")} ${words.bagTitle}</h2>
        ${pack.bag?.length ? html`<ul class="plain">${pack.bag.map(
          (/** @type {any} */ b) => html`<li><b>${amountUpText(String(b.amount), b.unit)}</b> ${b.name}</li>`)}</ul>`
          : html`<p>${words.bagNone}</p>`}</section>`;
  }

  /** @param {any} pack */
  #plan({ plan, match }) {
    const minute = (nowRight() - Date.parse(match.start_at)) / 60_000;
    return html`
      ${plan.note ? html`<p class="lines">${plan.note}</p>` : nothing}
      <ol class="stages">${plan.stages.map((/** @type {any} */ stage) => this.#stage(stage, minute))}</ol>
      ${plan.spare_percent ? html`<p class="soft">${words.spare(plan.spare_percent)}</p>` : nothing}`;
  }

  /** @param {any} stage @param {number} minute */
  #stage(stage, minute) {
    const now = minute >= stage.start_minute && minute < stage.end_minute;
    const kind = words.stageKinds[/** @type {"feed"} */ (stage.kind)] ?? stage.kind;
    return html`<li class="stage ${now ? "is-now" : ""}">
      <h2>${kind}${stage.line ? ` · ${words.stageLine(stage.line)}` : ""}
        ${now ? html`<span class="tag">${icon("clock")} ${words.stageNow}</span>` : nothing}</h2>
      <p class="soft">${words.stageFrom(stage.start_minute, stage.end_minute)}${
        stage.every_seconds ? `, ${words.everyText(stage.every_seconds)}` : ""}</p>
      ${stage.balls ? html`<p>${words.stageBalls(stage.balls.count, stage.balls.mm, stage.balls.mix, stage.feeds.length)}</p>` : nothing}
      <ul class="plain">${stage.feeds.map((/** @type {any} */ f) => html`<li>${feedText(f)}</li>`)}</ul>
      ${stage.note ? html`<p>${stage.note}</p>` : nothing}</li>`;
  }
}

/** @param {any} feed */
function feedText(feed) {
  return html`<b>${amountBoth(String(feed.amount), feed.unit)}</b> ${feed.name}`;
}

customElements.define("screen-plan", ScreenPlan);
