// @ts-check
/** The river strip: the pegs along the bank in their order, drawn for a phone. */
import { html, svg, nothing } from "./element.js";
import { words } from "./words.js";

const STEP = 30;
const HIGH = 96;

/**
 * The bank with its pegs in order, the own one and those weighed marked.
 * @param {any[]} pegs in the order along the bank
 * @param {{mine: string | null, weighed: Set<string>}} marks
 */
export function riverStrip(pegs, { mine, weighed }) {
  const wide = pegs.length * STEP + 20;
  return html`
    <figure class="river" tabindex="0" role="group" aria-label=${words.river(pegs.length)}>
      <svg viewBox=${`0 0 ${wide} ${HIGH}`} width=${wide} height=${HIGH} aria-hidden="true">
        <path class="river-edge" d=${`M0 46 ${waves(wide)}`} />
        ${[62, 80].map((y) => svg`<path class="river-flow" d=${flow(wide, y)} />`)}
        ${pegs.map((peg, i) => pegDraw(peg, i, pegs[i - 1], { mine, weighed }))}
      </svg>
    </figure>`;
}

/** @param {any} peg @param {number} i @param {any} before @param {{mine: string | null, weighed: Set<string>}} marks */
function pegDraw(peg, i, before, { mine, weighed }) {
  const x = 10 + STEP * (i + 0.5);
  const state = `${weighed.has(peg.number) ? "is-weighed" : ""} ${peg.number === mine ? "is-mine" : ""}`;
  const newSection = before?.section !== peg.section;
  return svg`
    ${newSection ? svg`<path class="river-cut" d=${`M${x - STEP / 2} 4V${HIGH}`} />
      <text class="river-section" x=${x - STEP / 2 + 5} y="15">${peg.section}</text>` : nothing}
    <g class=${`river-peg ${state}`}>
      <path d=${`M${x} 40v12`} />
      <circle cx=${x} cy="32" r="11" />
      <text x=${x} y="36" text-anchor="middle">${peg.number}</text>
    </g>`;
}

/** @param {number} wide */
function waves(wide) {
  return `q${STEP / 2} 5 ${STEP} 0 `.repeat(Math.ceil(wide / STEP) + 1);
}

/** @param {number} wide @param {number} y */
function flow(wide, y) {
  let d = "";
  for (let x = 16 + (y % 40); x + 40 < wide; x += 90) d += `M${x} ${y}h34l-6 -4m6 4l-6 4`;
  return d;
}
