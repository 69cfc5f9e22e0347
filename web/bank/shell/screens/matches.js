// @ts-check
import { BankElement, html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { icon } from "../icons.js";
import { partState } from "../later.js";
import { dayText } from "../times.js";
import { words } from "../words.js";

/** The first screen: the matches of the person's clubs, those on the phone marked. */
class ScreenMatches extends BankElement {
  /** @type {any[] | null} */ list = null;
  held = new Set();
  asked = false;
  installPut = true;

  async load() {
    const person = bag.person;
    const installPut = standalone() || Boolean(await bag.store.metaGet("install-put-aside"));
    const me = person && await bag.store.metaGet(`me:${person.id}`);
    const held = person ? (await bag.store.packages(person.id)).map((row) => row.id) : [];
    // All at once: what is drawn already is not to move under a thumb.
    this.held = new Set(held);
    this.list = person && matchesSorted(me?.matches ?? []);
    this.asked = Boolean(me);
    this.installPut = installPut;
    this.requestUpdate();
  }

  render() {
    return html`
      <h1>${words.matchesTitle}</h1>
      ${!("serviceWorker" in navigator) && partState("./lacks.js") === "here"
        ? html`<worker-missing></worker-missing>` : nothing}
      ${this.#list()}
      ${this.installPut ? nothing : this.#install()}`;
  }

  #list() {
    if (!bag.person) {
      return bag.signal === "no_signal" ? html`<p>${words.firstNoSignal}</p>` : nothing;
    }
    if (!this.list) return nothing;
    if (!this.list.length) return html`<p>${this.asked ? words.matchesNoneYet : words.matchesNone}</p>`;
    return html`<ul class="cards">${this.list.map((m) => this.#match(m))}</ul>`;
  }

  /** @param {any} m */
  #match(m) {
    const here = this.held.has(String(m.id));
    return html`<li><a class="card" href=${`#/match/${m.id}`}>
      <span class="card-main"><b>${m.name}</b>
        <span>${dayText(m.date, m.timezone)} · ${placeName(m.venue)}</span>
        <span class="soft">${m.called_off ? words.calledOff : words.states[/** @type {keyof typeof words.states} */ (m.state)] ?? m.state}${
          here ? html` · ${icon("phone")} ${words.matchOnPhone}` : nothing}</span></span>
      ${icon("ahead")}</a></li>`;
  }

  #install() {
    return html`<section class="note calm"><h2>${words.installTitle}</h2><p>${words.install}</p>
      <button type="button" class="second" @click=${this.#putAside}>${words.installDone}</button>
    </section>`;
  }

  #putAside = async () => {
    await bag.store.metaPut("install-put-aside", { at: Date.now() });
    await this.load();
  };
}

/** @param {any} venue */
export function placeName(venue) {
  return typeof venue === "string" ? venue : (venue?.name ?? "");
}

/** The nearest day first: on the bank it is today's. @param {any[]} matches */
function matchesSorted(matches) {
  const away = (/** @type {any} */ m) => Math.abs(Date.parse(m.date) - Date.now());
  return [...matches].sort((a, b) => away(a) - away(b));
}

function standalone() {
  return matchMedia("(display-mode: standalone)").matches;
}

customElements.define("screen-matches", ScreenMatches);
