// @ts-check
/** The swim from above, to scale: the angler, the clock face, the rig's line, and each throw. */
import { html, svg } from "./element.js";
import { at, letterMark, ROWS, rowsOf } from "./swim-picture.js";
import { throwWords as words } from "./words-throw.js";

const WIDE = 340;
const MARGIN = 24;
const TALL = 140;
const BANK = 22;
const LETTER = 10;
const FACE = 30;
const HOURS = [10, 11, 12, 1, 2];

/**
 * The swim from above: where to stand, throw, and where it lands; metres to scale.
 * @param {import("./swim.js").Water} water @param {import("./swim.js").Landed[]} landed
 * @param {import("./swim.js").Around} around
 */
export function swimAbove(water, landed, around) {
  const { line, flowsTo } = around.stand;
  const ends = [0, water.settles, ...landed.flatMap((f) => [f.throwAt, f.lands.p5, f.lands.p95])];
  const [from, to] = [Math.min(...ends), Math.max(...ends)];
  const scale = Math.min((WIDE - 2 * MARGIN) / (to - from), TALL / line);
  const way = flowsTo === "right" ? 1 : -1;
  const x = (/** @type {number} */ m) => WIDE / 2 + way * (m - (from + to) / 2) * scale;
  const rows = rowsOf(landed.map((feed) => x(feed.throwAt)));
  const bank = 20 + 2 * LETTER * (1 + Math.max(ROWS, ...rows)) + TALL;
  const rig = bank - line * scale;
  const you = x(0);
  return html`<figure class="swim"><h2>${words.aboveTitle}</h2>
    <svg viewBox=${`0 0 ${WIDE} ${(bank + BANK).toFixed(1)}`} aria-hidden="true">
      <rect class="swim-water" width=${WIDE} height=${bank.toFixed(1)} />
      <path class="swim-bed" d=${`M0 ${bank.toFixed(1)}H${WIDE}V${(bank + BANK).toFixed(1)}H0Z`} />
      ${riverDraw(way)}
      ${landed.map((feed, n) => ({ feed, n })).sort((a, b) => b.feed.wide - a.feed.wide)
        .map(({ feed, n }) => carpetDraw(feed, n, { x, rig, scale }))}
      <path class="swim-rig" d=${`M0 ${rig.toFixed(1)}H${WIDE}`} />
      <path class="swim-face" d=${`M${you.toFixed(1)} ${bank.toFixed(1)}V${rig.toFixed(1)}`} />
      ${landed.map((feed, n) => throwDraw(feed, n, { x, rig, row: rows[n], you, bank }))}
      ${faceDraw(you, bank)}
      <text class="swim-label" x=${you.toFixed(1)} y=${((rig + bank - FACE) / 2 + 4).toFixed(1)} text-anchor="middle">${words.metres(line)}</text>
      <path class="swim-settled" d=${`M${x(water.settles) - 6} ${rig - 6}l12 12m0 -12l-12 12`} />
      <path class="swim-float" d=${`M${you.toFixed(1)} ${rig - 9}l4 9l-4 6l-4 -6Z`} />
      <circle class="swim-you" cx=${you.toFixed(1)} cy=${(bank + 9).toFixed(1)} r="7" />
      <text class="swim-you-label" x=${(you + 11).toFixed(1)} y=${(bank + 13).toFixed(1)}>${words.you}</text>
    </svg>
    <figcaption class="soft">${words.aboveSays(around, water.settles)}</figcaption>
  </figure>`;
}

/** Which way it runs. @param {number} way */
function riverDraw(way) {
  const middle = way > 0 ? WIDE - 74 : 74;
  return svg`<path class="swim-flow" d=${`M${middle - way * 18} 9h${way * 36}l${-way * 5} -4m${way * 5} 4l${-way * 5} 4`} />
    <text class="swim-label" x=${middle + way * 24} y="13" text-anchor=${way > 0 ? "start" : "end"}>${words.river}</text>`;
}

/** Where nine in ten lie, as long and as wide as throws stray. @param {import("./swim.js").Landed} feed
 * @param {number} n @param {{x: (m: number) => number, rig: number, scale: number}} place */
function carpetDraw({ lands, broad }, n, { x, rig, scale }) {
  const middle = x((lands.p5 + lands.p95) / 2);
  return svg`<ellipse class=${`swim-carpet is-${n % 4}`} cx=${middle.toFixed(1)} cy=${rig.toFixed(1)}
    rx=${(((lands.p95 - lands.p5) / 2) * scale).toFixed(1)} ry=${Math.max(2, (broad / 2) * scale).toFixed(1)} />`;
}

/** @param {import("./swim.js").Landed} feed @param {number} n
 * @param {{x: (m: number) => number, rig: number, row: number, you: number, bank: number}} place */
function throwDraw(feed, n, { x, rig, row, you, bank }) {
  const left = x(feed.throwAt);
  const middle = rig - 6 - LETTER - 2 * LETTER * row;
  return svg`<g class=${`swim-feed is-${n % 4}`}>
    <path class="swim-drop" d=${`M${at(you, bank)}L${at(left, rig)}V${middle + LETTER}`} />
    <path class="swim-point" d=${`M${at(left - 4, rig)}a4 4 0 1 1 8 0a4 4 0 1 1 -8 0`} />
    ${letterMark(n, left, middle)}</g>`;
}

const onFace = (/** @type {number} */ hour, /** @type {number} */ r) => {
  const turn = (hour * Math.PI) / 6;
  return [r * Math.sin(turn), -r * Math.cos(turn)];
};
const TICKS = HOURS.map((hour) =>
  `M${onFace(hour, FACE).map((v) => v.toFixed(1)).join(" ")}L${onFace(hour, FACE - 4).map((v) => v.toFixed(1)).join(" ")}`);

/** The clock face on the water before the angler. @param {number} x @param {number} y */
function faceDraw(x, y) {
  return svg`<g transform=${`translate(${at(x, y)})`}>
    <path class="swim-face" d=${`M${-FACE} 0A${FACE} ${FACE} 0 0 1 ${FACE} 0${TICKS.join("")}`} />
    ${HOURS.map((hour) => {
      const [tx, ty] = onFace(hour, FACE + 10);
      return svg`<text class="swim-hour" x=${tx.toFixed(1)} y=${(ty + 4).toFixed(1)} text-anchor="middle">${hour}</text>`;
    })}</g>`;
}
