// @ts-check
/** The frame: head with counts and signal, one screen by the address, and what was just kept. */
import { BankElement, html, nothing } from "./element.js";
import { bag } from "./bag.js";
import { icon } from "./icons.js";
import { keeping, latelyUndo } from "./keeping.js";
import { partFetch, partsFollowSignal, partState } from "./later.js";
import { lightChoose, lightNow } from "./light.js";
import { leftBehind, newerUse, newerWaits, updates, workerStart } from "./update.js";
import { words } from "./words.js";
import "./screens/matches.js";
import "./screens/match.js";
import "./screens/weigh.js";
import "./screens/keypad.js";
import "./screens/feed.js";
import "./screens/fish.js";

/**
 * Address after the #, the screen, and where Back leads. A busy one is never interrupted. One whose
 * file is named here as `later`, and imported by nobody as the app starts, comes after the first load.
 * @type {{at: RegExp, draw: (m: string, peg: string) => unknown,
 *   up: (m: string, peg: string) => string | null, busy?: boolean,
 *   later?: import("./later.js").Part}[]}
 */
const ROUTES = [
  { at: /^\/?$/, draw: () => html`<screen-matches></screen-matches>`, up: () => null },
  {
    at: /^\/phone$/,
    later: "./screens/phone.js",
    draw: () => html`<screen-phone></screen-phone>`,
    up: () => "#/",
  },
  {
    at: /^\/match\/(\d+)$/,
    draw: (m) => html`<screen-match .match=${m}></screen-match>`,
    up: () => "#/",
  },
  {
    at: /^\/match\/(\d+)\/plan$/,
    later: "./screens/plan.js",
    draw: (m) => html`<screen-plan .match=${m}></screen-plan>`,
    up: (m) => `#/match/${m}`,
  },
  {
    at: /^\/match\/(\d+)\/mixing$/,
    later: "./screens/mixing.js",
    draw: (m) => html`<screen-mixing .match=${m}></screen-mixing>`,
    up: (m) => `#/match/${m}/plan`,
  },
  {
    at: /^\/match\/(\d+)\/feed$/,
    draw: (m) => html`<screen-feed .match=${m}></screen-feed>`,
    up: (m) => `#/match/${m}`,
  },
  {
    at: /^\/match\/(\d+)\/fish$/,
    draw: (m) => html`<screen-fish .match=${m}></screen-fish>`,
    up: (m) => `#/match/${m}`,
  },
  {
    at: /^\/match\/(\d+)\/peg$/,
    later: "./screens/peg.js",
    draw: (m) => html`<screen-peg .match=${m}></screen-peg>`,
    up: (m) => `#/match/${m}`,
    busy: true,
  },
  {
    at: /^\/match\/(\d+)\/swim$/,
    later: "./screens/swim.js",
    draw: (m) => html`<screen-swim .match=${m}></screen-swim>`,
    up: (m) => `#/match/${m}/peg`,
  },
  {
    at: /^\/match\/(\d+)\/section$/,
    later: "./screens/section.js",
    draw: (m) => html`<screen-section .match=${m}></screen-section>`,
    up: (m) => `#/match/${m}`,
  },
  {
    at: /^\/match\/(\d+)\/care$/,
    later: "./screens/care.js",
    draw: (m) => html`<screen-care .match=${m}></screen-care>`,
    up: (m) => `#/match/${m}`,
  },
  {
    at: /^\/pass$/,
    later: "./screens/pass.js",
    draw: () => html`<screen-pass></screen-pass>`,
    up: () => "#/phone",
    busy: true,
  },
  {
    at: /^\/match\/(\d+)\/pass$/,
    later: "./screens/pass.js",
    draw: (m) => html`<screen-pass .match=${m}></screen-pass>`,
    up: (m) => `#/match/${m}`,
    busy: true,
  },
  {
    at: /^\/match\/(\d+)\/weigh$/,
    draw: (m) => html`<screen-weigh .match=${m}></screen-weigh>`,
    up: (m) => `#/match/${m}`,
  },
  {
    at: /^\/match\/(\d+)\/weigh\/([^/]+)$/,
    draw: (m, peg) =>
      html`<screen-keypad .match=${m} .peg=${peg}></screen-keypad>`,
    up: (m) => `#/match/${m}/weigh`,
    busy: true,
  },
];

class BankApp extends BankElement {
  constructor() {
    super();
    // What the page showed before the app came.
    this.replaceChildren();
  }

  connectedCallback() {
    super.connectedCallback();
    addEventListener("hashchange", () => this.#moved());
    updates.addEventListener("change", () => this.requestUpdate());
    document.addEventListener("light-chosen", () => this.requestUpdate());
    this.#moved();
    partsFollowSignal();
    void workerStart();
    void bag.start();
  }

  #moved() {
    if (leftBehind()) location.reload();
    bag.matchOpen(/^#\/match\/(\d+)/.exec(location.hash)?.[1] ?? null);
    this.requestUpdate();
    scrollTo(0, 0);
  }

  render() {
    const path = decodeURIComponent(location.hash.slice(1));
    const route = ROUTES.find((r) => r.at.test(path));
    const parts = /** @type {[string, string]} */ (route?.at.exec(path)?.slice(1) ?? []);
    return html`
      ${this.#head(route?.up(...parts) ?? (route ? null : "#/"))}
      <main tabindex="-1">
        ${bag.trouble ? this.#trouble() : nothing}
        ${bag.person ? nothing : this.#signIn()}
        ${bag.opening ? html`<p role="status">${words.opening}</p>` : this.#screen(route, parts)}
        <div class="comes ${route?.busy ? "" : "stays"}">${bag.person ? this.#signIn() : nothing}${
          newerWaits() && !route?.busy ? this.#newer() : nothing}</div>
      </main>
      <div class="lately" role="status">${this.#lately()}</div>
      <div class="failed" role="alert">${keeping.failed ? html`
        <p>${icon("refused")} ${keeping.failed}</p>` : nothing}</div>`;
  }

  /** @param {typeof ROUTES[0] | undefined} route @param {[string, string]} parts */
  #screen(route, parts) {
    if (!route) return html`<h1>${words.lost}</h1><p><a class="button" href="#/">${words.toMatches}</a></p>`;
    const { later } = route;
    const state = later ? partState(later) : "here";
    if (!later || state === "here") return route.draw(...parts);
    if (state === "coming") return html`<p role="status">${words.partComing}</p>`;
    return html`<section class="note warn" role="status"><p>${icon("noSignal")} ${words.partMissing}</p>
      <button type="button" @click=${() => partFetch(later)}>${words.tryAgain}</button></section>`;
  }

  /** @param {string | null} up */
  #head(up) {
    return html`
      <header class="head">
        <div class="head-row">
          ${up ? html`<a class="head-back" href=${up}>${icon("back")} ${words.back}</a>`
            : html`<span class="head-name">${icon("bag")} ${words.app}</span>`}
          <button class="head-light" type="button" aria-pressed=${String(lightNow() === "sun")}
            @click=${() => { lightChoose(lightNow() === "sun" ? "" : "sun"); this.requestUpdate(); }}>
            ${icon("sun")} ${words.light}</button>
        </div>
        ${this.#counts()}
      </header>`;
  }

  #counts() {
    const { kept, sent, refused } = bag.counts;
    // With a network, it is the server.
    const silent = bag.signal === "no_signal" && navigator.onLine;
    const signal = bag.sending && bag.signal !== "no_signal" ? words.sending
      : silent ? words.noAnswer : words.signal[bag.signal];
    const good = bag.signal === "ok" || bag.signal === "unknown";
    return html`
      <a class="counts" href="#/phone" aria-label=${
        `${words.countsTitle}: ${kept} ${words.keptHere}, ${sent} ${words.sent}, ` +
        `${refused} ${words.refused}, ${signal}`}>
        <span class="count ${kept ? "is-kept" : ""}" data-count="kept">
          <b>${icon("phone")} ${kept}</b> ${words.keptHere}</span>
        <span class="count" data-count="sent"><b>${icon("tick")} ${sent}</b> ${words.sent}</span>
        <span class="count ${refused ? "is-refused" : ""}" data-count="refused">
          <b>${icon("refused")} ${refused}</b> ${words.refused}</span>
        <span class="count ${good ? "" : "is-away"}" data-signal=${bag.signal}>
          <b>${icon(bag.signal === "sign_in" ? "key" : good ? "signal" : "noSignal")}</b>
          ${signal}</span>
      </a>`;
  }

  #trouble() {
    // Missing or forbidden, rather than slow or broken.
    if (/^(MissingAPI|Security)E/.test(bag.trouble ?? "") && partState("./lacks.js") === "here") {
      return html`<storage-refused></storage-refused>`;
    }
    return html`<section class="note bad"><h2>${words.troubleTitle}</h2>
      <p>${words.trouble}</p><p class="soft">${bag.trouble}</p></section>`;
  }

  /** Over whatever else there is for somebody this phone does not know; else at the foot, where
   * what is under a thumb stays as it is. */
  #signIn() {
    if (bag.signal !== "sign_in" && !bag.signedOut) return nothing;
    const text = bag.person ? words.signInNeeded : words.signInFirst;
    const next = encodeURIComponent("/bank/");
    return html`<section class="note warn"><p>${text}</p>
      <a class="button" href=${`/sign-in/?next=${next}`}>${icon("key")} ${words.signIn}</a></section>`;
  }

  #newer() {
    return html`<section class="note calm"><p>${words.newer}</p>
      <button type="button" @click=${newerUse}>${words.newerUse}</button></section>`;
  }

  #lately() {
    const lately = keeping.lately;
    if (!lately) return nothing;
    const row = lately.row;
    return html`<p class="lately-row">
      <span class="lately-what">${icon("tick")} ${lately.what}${row ? html` · <b>${words.kept}</b>` : nothing}</span>
      ${row ? html`<button type="button" class="second" @click=${() => latelyUndo(lately)}>
        ${icon("undo")} ${words.undo}</button>` : nothing}</p>`;
  }
}

customElements.define("bank-app", BankApp);
