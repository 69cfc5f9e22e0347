// @ts-check
import { html, nothing } from "../element.js";
import { bag } from "../bag.js";
import { correctsIn, netCorrected, weighedByPeg, weightUnusual } from "../facts.js";
import { fishMany, fishPoints, fishPress, fishStart, netCounted, speciesScored } from "../fish.js";
import { icon } from "../icons.js";
import { factLog } from "../keeping.js";
import { isTyped, keyPress, nothingTyped, weightTyped } from "../keypad.js";
import { uuid7 } from "../uuid7.js";
import { weightText, WEIGHT_MOST } from "../weights.js";
import { words } from "../words.js";
import { OfMatch } from "./of-match.js";

const DIGITS = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];

/** One peg's nets on a keypad for one thumb. What is typed stays until it is kept. */
class ScreenKeypad extends OfMatch {
  static properties = { ...OfMatch.properties, peg: { attribute: false } };

  /** @type {Promise<() => void> | null} */ #sleep = null;

  constructor() {
    super();
    /** @type {string} */ this.peg = "";
    this.net = 1;
    /** @type {import("../keypad.js").Typed | null} */ this.typed = null;
    this.agrees = false;
    this.asking = false;
    this.reweigh = false;
    /** @type {import("../fish.js").Fish | null} */ this.fish = null;
    this.draft = uuid7();
    this.chosen = false;
  }

  connectedCallback() {
    super.connectedCallback();
    addEventListener("keydown", this.#onKey);
    this.#sleep = import("../awake.js").then(({ awakeKeep }) => awakeKeep(), () => () => {});
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    removeEventListener("keydown", this.#onKey);
    void this.#sleep?.then((sleep) => sleep());
  }

  /** @param {any} pack */
  draw(pack) {
    const { match, pegs } = pack;
    const peg = pegs.find((/** @type {any} */ p) => p.number === this.peg);
    if (!peg) return html`<p>${words.lost}</p>`;
    const nets = weighedByPeg(this.known, pack).get(this.peg) ?? new Map();
    this.typed ??= nothingTyped(match.weight_unit);
    if (!this.chosen && nets.size) this.net = Math.min(9, Math.max(...nets.keys()));
    return html`<div class="weighing">
      <div class="weighing-top">
        <h1>${words.peg(this.peg)} <span class="soft">${peg.angler ?? words.emptyPeg}</span></h1>
        ${this.#nets(nets, match.weight_unit)}
        ${this.#before(nets, pack)}
      </div>
      ${this.asking ? this.#ask(pack) : this.fish ? this.#count(pack) : this.#pad(pack, peg, nets)}
    </div>`;
  }

  /** @param {Map<number, any[]>} nets @param {"g" | "dr"} unit */
  #nets(nets, unit) {
    const last = Math.max(0, ...nets.keys());
    const numbers = Array.from({ length: Math.min(9, Math.max(1, last + (nets.size ? 1 : 0))) }, (_, i) => i + 1);
    return html`<div class="nets" role="group" aria-label=${words.weighTitle}>${numbers.map((n) => html`
      <button type="button" class="second" aria-pressed=${String(n === this.net)}
        @click=${() => this.#netTake(n)}>
        ${nets.has(n) || n === 1 ? words.netNumber(n) : words.netNext}
        ${nets.has(n) ? html`<small>${weightText(nets.get(n)?.[0].fact.body.weight, unit)}</small>` : nothing}
      </button>`)}</div>`;
  }

  /** @param {number} n */
  #netTake(n) {
    this.net = n;
    this.chosen = true;
    this.fish = null;
    this.requestUpdate();
  }

  /** What stands, and what becomes of what is typed now. @param {Map<number, any[]>} nets @param {any} pack */
  #before(nets, pack) {
    const late = pack.match.state === "confirmed"
      ? html`<p class="note warn">${words.afterConfirmed}</p>` : nothing;
    const leaves = nets.get(this.net) ?? [];
    const corrected = netCorrected(leaves, { weight: -1 }, bag.person?.id); // whatever is typed
    return html`${late}${leaves.map((k) => {
      const weight = weightText(k.fact.body.weight, pack.match.weight_unit);
      return html`<p class="before">${k.fact === corrected && this.#corrects(k, pack) ? words.correcting(weight)
        : words.besides(weight, k.author?.name ?? "")}${k.fact.body.fish
        ? html` ${this.#told(k.fact.body.fish)}` : nothing}</p>`;
    })}`;
  }

  /** Whether what is typed now takes the place of that one. @param {any} earlier @param {any} pack */
  #corrects(earlier, pack) {
    const typed = /** @type {any} */ ({ author: { id: bag.person?.id } });
    return correctsIn(pack)(typed, earlier);
  }

  /** @param {any} pack @param {any} peg @param {Map<number, any[]>} nets */
  #pad(pack, peg, nets) {
    const weight = this.typed ? weightTyped(this.typed) : null;
    return html`<div class="pad">
      ${this.#figure(pack.match.weight_unit, weight)}
      ${peg.angler ? html`<label class="choice"><input type="checkbox" .checked=${this.agrees}
        @change=${(/** @type {any} */ e) => { this.agrees = e.target.checked; }}>
        ${words.agrees(peg.angler)}</label>` : nothing}
      ${nets.has(this.net) ? html`<label class="choice"><input type="checkbox" .checked=${this.reweigh}
        @change=${(/** @type {any} */ e) => { this.reweigh = e.target.checked; }}>
        ${words.reweigh}</label>` : nothing}
      ${this.#cap(pack.match, weight)}
      <div class="keys">
        ${DIGITS.map((d) => this.#key(d, d))}
        ${pack.match.weight_unit === "g" ? this.#key("00", "00") : this.#key("clear", words.clear)}
        ${this.#key("0", "0")}
        <button type="button" class="key key-back" aria-label=${words.deleteDigit}
          @click=${() => this.#press("back")}>${icon("erase")}</button>
      </div>
      <button type="button" class="keep" ?disabled=${weight === null} @click=${() => this.#save(pack)}>
        ${speciesScored(pack.match).length ? html`${icon("fish")} ${words.fishGo}`
          : html`${icon("tick")} ${(nets.get(this.net) ?? []).some((/** @type {any} */ k) => this.#corrects(k, pack))
            ? words.saveChange : words.save}`}</button>
    </div>`;
  }

  /** Why nothing can be kept of what is typed; else the match's cap, once a weight is over it.
   * @param {any} match @param {number | null} weight */
  #cap(match, weight) {
    if (weight === null && this.typed && isTyped(this.typed)) {
      return html`<p class="note warn" role="alert">${
        words.noWeight(weightText(WEIGHT_MOST, match.weight_unit), match.weight_unit)}</p>`;
    }
    if (weight === null || netCounted(weight, match) === weight) return nothing;
    const cap = weightText(match.net_cap, match.weight_unit);
    const counts = netCounted(weight, match);
    return html`<p class="note warn" role="status">${words.capRule(
      cap, counts ? weightText(counts, match.weight_unit) : words.capNothing)}</p>`;
  }

  /** Each species with one large button less and one more. @param {any} pack */
  #count(pack) {
    const fish = this.fish ?? [];
    return html`<section class="counting"><h2>${words.netFishTitle}</h2>
      <p class="figure">${weightText((this.typed && weightTyped(this.typed)) ?? 0, pack.match.weight_unit)}</p>
      <p role="status">${this.#told(fish)}</p>
      <ul>${fish.map(([name, many]) => html`<li>
        <span class="species">${name}</span>
        <button type="button" class="key" aria-label=${words.netFishLess(name)} ?disabled=${many === 0}
          @click=${() => this.#fishTake(name, -1)}>−</button>
        <output aria-label=${name}>${many}</output>
        <button type="button" class="key" aria-label=${words.netFishMore(name)}
          @click=${() => this.#fishTake(name, 1)}>+</button></li>`)}</ul>
      <button type="button" class="keep" @click=${() => this.#keep(pack)}>${icon("tick")} ${words.save}</button>
      <button type="button" class="second" @click=${() => this.#keep(pack, false)}>${words.fishSkip}</button>
      <button type="button" class="second" @click=${() => { this.fish = null; this.requestUpdate(); }}>
        ${icon("back")} ${words.netFishBack}</button>
    </section>`;
  }

  /** @param {string} name @param {number} by */
  #fishTake(name, by) {
    this.fish = fishPress(this.fish ?? [], name, by);
    this.requestUpdate();
  }

  /** @param {import("../fish.js").Fish} fish */
  #told(fish) {
    return words.fishTold(fishMany(fish), fishPoints(fish, speciesScored(this.pack?.match ?? {})));
  }

  /** @param {"g" | "dr"} unit @param {number | null} weight */
  #figure(unit, weight) {
    const typed = this.typed;
    if (typed?.unit === "dr") {
      return html`<div class="boxes">${/** @type {const} */ (["lb", "oz", "dr"]).map((box) => html`
        <button type="button" class="box" aria-pressed=${String(typed.active === box)}
          aria-label=${`${typed.boxes[box] || 0} ${words.keyNames[box]}`}
          @click=${() => this.#press(box)}><b>${typed.boxes[box] || "0"}</b> ${box}</button>`)}</div>`;
    }
    return html`<p class="figure" role="status">${weight === null
      ? html`<span class="figure-none">${words.notTyped}</span>`
      : html`${weightText(weight, unit)}${weight === 0 ? html` <small>${words.blank}</small>` : nothing}`}</p>`;
  }

  /** @param {string} key @param {string} text */
  #key(key, text) {
    return html`<button type="button" class="key" @click=${() => this.#press(key)}>${text}</button>`;
  }

  /** @param {string} key */
  #press(key) {
    if (this.typed) this.typed = keyPress(this.typed, key);
    this.requestUpdate();
  }

  /** A keyboard is as good as a thumb. @param {KeyboardEvent} event */
  #onKey = (event) => {
    if (this.asking || this.fish || event.ctrlKey || event.metaKey || event.altKey) return;
    if (/^\d$/.test(event.key)) this.#press(event.key);
    else if (event.key === "Backspace") this.#press("back");
  };

  /** @param {any} pack */
  #ask(pack) {
    const weight = (this.typed && weightTyped(this.typed)) ?? 0;
    return html`<section class="note warn ask"><h2>${words.unusualTitle}</h2>
      <p class="figure">${weightText(weight, pack.match.weight_unit)}</p>
      <p>${words.unusual(weightText(weight, pack.match.weight_unit))}</p>
      <button type="button" class="keep" @click=${() => this.#go(pack)}>${words.unusualYes}</button>
      <button type="button" class="second" @click=${() => { this.asking = false; this.requestUpdate(); }}>
        ${words.unusualNo}</button></section>`;
  }

  /** @param {any} pack */
  #save(pack) {
    const weight = this.typed && weightTyped(this.typed);
    if (weight === null) return;
    const others = [...weighedByPeg(this.known, pack)]
      .filter(([peg]) => peg !== this.peg)
      .flatMap(([, nets]) => [...nets.values()].flat().map((k) => k.fact.body.weight));
    this.asking = weightUnusual(weight, pack.match.weight_unit, others);
    if (this.asking) this.requestUpdate();
    else this.#go(pack);
  }

  /** On to the fish where they are scored, else keep it. @param {any} pack */
  #go(pack) {
    this.asking = false;
    const species = speciesScored(pack.match);
    if (!species.length) {
      void this.#keep(pack);
      return;
    }
    const leaves = weighedByPeg(this.known, pack).get(this.peg)?.get(this.net) ?? [];
    this.fish = fishStart(species, leaves[0]?.fact.body.fish);
    this.requestUpdate();
  }

  /** @param {any} pack @param {boolean} counted */
  async #keep(pack, counted = true) {
    const unit = pack.match.weight_unit;
    const weight = this.typed && weightTyped(this.typed);
    if (weight === null) return;
    const peg = pack.pegs.find((/** @type {any} */ p) => p.number === this.peg);
    /** @type {{net: number, weight: number, unit: string, witness: string | null,
     *   fish?: import("../fish.js").Fish, reweigh?: true}} */
    const body = { net: this.net, weight, unit, witness: this.agrees ? peg.angler : null };
    if (this.fish && counted) body.fish = this.fish;
    const leaves = weighedByPeg(this.known, pack).get(this.peg)?.get(this.net) ?? [];
    const settle = pack.match.state === "confirmed"
      || leaves.some((k) => !this.#corrects(k, pack) && k.fact.body.weight !== weight);
    const what = [words.peg(this.peg), words.netNumber(this.net), weightText(weight, unit),
      ...(settle ? [words.toBeSettled] : [])].join(" · ");
    if (this.reweigh && leaves.length) body.reweigh = true;
    const before = netCorrected(leaves, body, bag.person?.id);
    const kept = await factLog({
      id: this.draft, kind: "weigh_in", match: this.match, peg: this.peg,
      supersedes: before?.id ?? null, body,
    }, what, before);
    this.asking = false;
    if (kept) location.hash = `#/match/${this.match}/weigh`;
    else this.requestUpdate();
  }
}

customElements.define("screen-keypad", ScreenKeypad);
