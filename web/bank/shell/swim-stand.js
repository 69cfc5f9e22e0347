// @ts-check
/** Where the angler stands, the rod, the length of the swim, and the wind of the day. */
import { html, nothing } from "./element.js";
import { STAND } from "./swim.js";
import { throwWords as words } from "./words-throw.js";

/** @typedef {import("./swim.js").Around} Around */
/** @typedef {(around: Partial<Pick<Around, "stand" | "wind">>) => void} Told */
/** @typedef {"line" | "rod" | "long"} Measure */

const WIND_M_S = /** @type {const} */ ([1, 15]);

/**
 * `bad` holds what was typed and is no such number; `change` is told what is new, `drag` what may
 * change again at once, `type` what a field says.
 * @param {Around} around @param {Partial<Record<Measure, string>>} bad
 * @param {{change: Told, drag: Told, type: (key: Measure, text: string) => void}} told
 */
export function standForm({ stand, wind }, bad, { change, drag, type }) {
  const hand = (/** @type {"left" | "right"} */ to) => html`<button type="button" class="second"
    aria-pressed=${String(stand.flowsTo === to)} @click=${() => change({ stand: { ...stand, flowsTo: to } })}>${
      to === "left" ? `← ${words.left}` : `${words.right} →`}</button>`;
  const blows = (/** @type {Around["wind"]["way"]} */ way) => html`<button type="button" class="second"
    aria-pressed=${String(wind.way === way)} @click=${() => change({ wind: { ...wind, way } })}>${words.winds[way]}</button>`;
  return html`<section class="sheet"><h2>${words.standTitle}</h2>
    <div role="group" aria-label=${words.flows}><p><b>${words.flows}</b></p><div class="three">${hand("left")}${hand("right")}</div></div>
    ${/** @type {Measure[]} */ (["line", "rod", "long"]).map((key) => measureField(key, stand[key], bad[key], type))}
    <div role="group" aria-label=${words.wind}><p><b>${words.wind}</b></p>
      <div class="three">${blows("none")}${blows("up")}${blows("down")}</div></div>
    ${wind.way === "none" ? nothing : windField(wind, change, drag)}
    <p class="soft">${words.windHelp}</p></section>`;
}

/** @param {Measure} key @param {number} value @param {string | undefined} typed
 * @param {(key: Measure, text: string) => void} type */
function measureField(key, value, typed, type) {
  const [least, most] = STAND[key];
  return html`<label>${words[key]}<input name=${key} inputmode="decimal" autocomplete="off" maxlength="6"
      .value=${typed ?? String(value)} aria-invalid=${String(typed !== undefined)}
      @change=${(/** @type {any} */ e) => type(key, e.target.value)}></label>
    <p class="field-bad" role="alert">${typed === undefined ? nothing : words.numberBad(least, most)}</p>`;
}

/** @param {Around["wind"]} wind @param {Told} change @param {Told} drag */
function windField(wind, change, drag) {
  const shown = `${wind.speed} m/s, ${words.windName(wind.speed)}`;
  const at = (/** @type {number} */ speed) =>
    ({ wind: { ...wind, speed: Math.min(WIND_M_S[1], Math.max(WIND_M_S[0], speed)) } });
  return html`<div class="slide"><label for="swim-wind">${words.windSpeed} <output>${shown}</output></label>
    <div class="slide-row">
      <button type="button" class="second" aria-label=${words.windLess} @click=${() => change(at(wind.speed - 1))}>−</button>
      <input id="swim-wind" type="range" min=${WIND_M_S[0]} max=${WIND_M_S[1]} step="1" .value=${String(wind.speed)}
        aria-valuetext=${shown} @input=${(/** @type {any} */ e) => drag(at(Number(e.target.value)))}
        @change=${(/** @type {any} */ e) => change(at(Number(e.target.value)))}>
      <button type="button" class="second" aria-label=${words.windMore} @click=${() => change(at(wind.speed + 1))}>+</button>
    </div></div>`;
}
