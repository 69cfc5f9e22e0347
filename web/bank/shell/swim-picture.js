// @ts-check
/** The swim from the side, to scale: the flow, each feed's way down, and where the rig settles. */
import { html, nothing, svg } from "./element.js";
import { flowAt } from "./reckon/flow.js";
import { swimWords as words } from "./words-swim.js";

const WIDE = 340;
const LEFT = 16;
/** Room for the fish. */
const RIGHT = 34;
const LETTER = 10;
const ABOVE = 12;
const BED = 18;
const LEAST_DEEP = 90;
const LETTERS = "ABCDEFGHIJKLMNOPQRST";
const ARROWS = 5;

/** The letter that stands for the n-th feed. @param {number} n */
export function letterOf(n) {
  return LETTERS[n % LETTERS.length];
}

/**
 * @param {import("./swim.js").Water} water @param {import("./swim.js").Landed[]} landed
 */
export function swimPicture(water, landed) {
  const ends = landed.flatMap((feed) => [feed.throwAt, feed.throwAt + feed.drift]);
  const from = Math.min(0, water.settles, ...ends) - 0.5;
  const to = Math.max(0, water.settles, ...ends) + 0.5;
  const scale = (WIDE - LEFT - RIGHT) / (to - from);
  const x = (/** @type {number} */ m) => LEFT + (m - from) * scale;
  const rows = rowsOf(landed.map((feed) => x(feed.throwAt)));
  const sky = ABOVE + 2 * LETTER * (1 + Math.max(...rows));
  // A long and shallow swim would be a line: it is drawn deeper, and the words say so.
  const down = Math.max(scale, LEAST_DEEP / water.depth);
  const y = (/** @type {number} */ m) => sky + m * down;
  const bed = y(water.depth);
  const said = words.pictureSays(water.depth.toFixed(1), water.speed.toFixed(2));
  return html`<figure class="swim">
    <svg viewBox=${`0 0 ${WIDE} ${(bed + BED).toFixed(1)}`} aria-hidden="true">
      <rect class="swim-water" x="0" y=${sky} width=${WIDE} height=${(bed - sky).toFixed(1)} />
      <path class="swim-bed" d=${`M0 ${bed.toFixed(1)}H${WIDE}V${(bed + BED).toFixed(1)}H0Z`} />
      ${flowDraw(water, y, down)}
      ${metresDraw(from, to, x, bed)}
      <path class="swim-rig" d=${`M${at(x(0), sky)}L${at(x(water.settles), y(water.fish))}`} />
      <path class="swim-float" d=${`M${at(x(0), sky - 9)}l4 9l-4 6l-4 -6Z`} />
      ${fishDraw(x(water.settles), y(water.fish), bed)}
      ${landed.map((feed, n) => feedDraw(feed, n, { x, y, sky, row: rows[n] }))}
    </svg>
    <figcaption class="soft">${said} ${down > scale * 1.05 ? words.deeper : nothing} ${words.ruler}</figcaption>
  </figure>`;
}

/** The letters' rows over the water, so that none covers another. @param {number[]} xs */
function rowsOf(xs) {
  /** @type {number[]} where the last letter of each row stands */
  const last = [];
  const rows = xs.map(() => 0);
  for (const n of xs.map((_, i) => i).sort((a, b) => xs[a] - xs[b])) {
    const free = last.findIndex((x) => xs[n] - x > 2 * LETTER + 1);
    rows[n] = free < 0 ? last.length : free;
    last[rows[n]] = xs[n];
  }
  return rows;
}

/** @param {import("./swim.js").Landed} feed @param {number} n
 * @param {{x: (m: number) => number, y: (m: number) => number, sky: number, row: number}} place */
function feedDraw(feed, n, { x, y, sky, row }) {
  const way = feed.path.map(([along, fallen]) => at(x(feed.throwAt + along), y(fallen))).join("L");
  const left = x(feed.throwAt);
  const middle = sky - ABOVE - LETTER - 2 * LETTER * row;
  return svg`<g class=${`swim-feed is-${n % 4}`}>
    <path d=${`M${way}`} />
    <path class="swim-drop" d=${`M${at(left, middle + LETTER)}V${sky}`} />
    <circle cx=${left.toFixed(1)} cy=${middle} r=${LETTER} />
    <text x=${left.toFixed(1)} y=${middle + 4.5} text-anchor="middle">${letterOf(n)}</text></g>`;
}

/** Arrows as long as the water is quick at that height. @param {import("./swim.js").Water} water
 * @param {(m: number) => number} y @param {number} down */
function flowDraw(water, y, down) {
  const swim = { ...water, exponent: 6, fishDepth: water.fish };
  return Array.from({ length: ARROWS }, (_, n) => {
    const fallen = (water.depth * (n + 0.5)) / ARROWS;
    const long = 30 * (flowAt(swim, water.depth - fallen) / water.speed);
    const head = Math.min(3, (water.depth * down) / ARROWS / 2.5);
    return svg`<path class="swim-flow"
      d=${`M${at(4, y(fallen))}h${long.toFixed(1)}l${-2 * head} ${-head}m${2 * head} ${head}l${-2 * head} ${head}`} />`;
  });
}

/** A tick a metre on the bed, a number at every fifth. @param {number} from @param {number} to
 * @param {(m: number) => number} x @param {number} bed */
function metresDraw(from, to, x, bed) {
  const metres = Array.from({ length: Math.floor(to) - Math.ceil(from) + 1 }, (_, n) => Math.ceil(from) + n);
  const ticks = metres.map((m) => `M${at(x(m), bed)}v${m % 5 ? 3 : 6}`);
  return svg`<path class="swim-ruler" d=${ticks.join("")} />
    ${metres.filter((m) => m % 5 === 0).map((m) => svg`
      <text class="swim-metres" x=${x(m).toFixed(1)} y=${(bed + BED - 2).toFixed(1)} text-anchor="middle">${Math.abs(m)}</text>`)}`;
}

/** @param {number} x @param {number} y @param {number} bed */
function fishDraw(x, y, bed) {
  const eye = Math.min(y, bed - 5);
  return svg`<path class="swim-fish"
    d=${`M${at(x + 2, eye)}q9 -9 18 0q-9 9 -18 0m18 0l6 -5v10Z`} />`;
}

/** @param {number} x @param {number} y */
function at(x, y) {
  return `${x.toFixed(1)} ${y.toFixed(1)}`;
}
