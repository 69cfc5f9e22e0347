// @ts-check
/** The swim from the side, to scale: the flow, each feed's way down, and where the rig settles. */
import { html, nothing, svg } from "./element.js";
import { flowAt } from "./reckon/flow.js";
import { swimWords as words } from "./words-swim.js";
import { throwWords } from "./words-throw.js";

const WIDE = 340;
const UPSTREAM = 34;
/** Room for the fish. */
const DOWNSTREAM = 40;
const LETTER = 10;
const ABOVE = 14;
const RULER = 18;
const BAR = 10;
/** Room for two rows of letters, used or not: the picture keeps its height under a finger. */
export const ROWS = 1;
const LEAST_DEEP = 90;
const LETTERS = "ABCDEFGHIJKLMNOPQRST";
const ARROWS = 6;
const LONGEST = 26;

/**
 * Where things are drawn; `way` is 1 where the river runs to the right, -1 to the left.
 * @typedef {{x: (m: number) => number, y: (m: number) => number, sky: number, bed: number,
 *   way: number}} Place
 */

/** The letter that stands for the n-th feed. @param {number} n */
export function letterOf(n) {
  return LETTERS[n % LETTERS.length];
}

/**
 * The swim from the side: how each feed falls and where it lies; metres to scale.
 * @param {import("./swim.js").Water} water @param {import("./swim.js").Landed[]} landed
 * @param {import("./swim.js").Around} around
 */
export function swimPicture(water, landed, around) {
  const ends = landed.flatMap((feed) =>
    [feed.throwAt, feed.lands.p5, feed.lands.p95, feed.throwAt + feed.drift + feed.onward]);
  const [from, to] = [Math.min(0, water.settles, ...ends), Math.max(0, water.settles, ...ends)];
  const scale = (WIDE - UPSTREAM - DOWNSTREAM) / (to - from);
  const way = around.stand.flowsTo === "right" ? 1 : -1;
  const edge = way > 0 ? UPSTREAM : WIDE - UPSTREAM;
  const x = (/** @type {number} */ m) => edge + way * (m - from) * scale;
  const rows = rowsOf(landed.map((feed) => x(feed.throwAt)));
  const sky = ABOVE + 2 * LETTER * (1 + Math.max(ROWS, ...rows));
  // A long and shallow swim would be a line: it is drawn deeper, and a word says so.
  const down = Math.max(scale, LEAST_DEEP / water.depth);
  const y = (/** @type {number} */ m) => sky + m * down;
  const place = { x, y, sky, bed: y(water.depth), way };
  const tall = place.bed + RULER + BAR * landed.length + 3;
  return html`<div class="swim swim-stays"><h2>${throwWords.sideTitle}
      ${down > scale * 1.05 ? html`<small>${words.deeper}</small>` : nothing}</h2>
    <svg viewBox=${`0 0 ${WIDE} ${tall.toFixed(1)}`} aria-hidden="true">
      <rect class="swim-water" y=${sky} width=${WIDE} height=${(place.bed - sky).toFixed(1)} />
      <path class="swim-bed" d=${`M0 ${place.bed.toFixed(1)}H${WIDE}V${tall.toFixed(1)}H0Z`} />
      ${flowDraw(water, around, place)} ${metresDraw(from, to, place)}
      ${landed.map((feed, n) => feedDraw(feed, n, water, place))}
      <path class="swim-rig" d=${`M${at(x(0), sky)}L${at(x(water.settles), y(water.fish))}`} />
      <path class="swim-float" d=${`M${at(x(0), sky - 9)}l4 9l-4 6l-4 -6Z`} />
      <path class="swim-settled" d=${`M${at(x(water.settles) - 5, y(water.fish) - 5)}l10 10m0 -10l-10 10`} />
      ${fishDraw(x(water.settles), y(water.fish), place)}
      ${landed.map((feed, n) => letterDraw(feed, n, rows[n], place))}
      ${landed.map((feed, n) => barDraw(feed, n, place))}
    </svg>
    <ul class="swim-now" aria-hidden="true">${landed.map((feed, n) => html`<li><b>${letterOf(n)}</b> ${feed.name}
      <b>${throwWords.riseWhere(feed.throwAt)}</b></li>`)}</ul></div>`;
}

/** The picture in words. @param {import("./swim.js").Water} water */
export function swimSays(water) {
  return html`<p class="soft swim-says">${words.pictureSays(water.depth.toFixed(1), water.speed.toFixed(2))}
    ${water.fish < water.depth ? words.fishUp(water.fish) : words.fishDown} ${words.ruler}</p>`;
}

/** What the marks of both pictures mean. */
export function swimKey() {
  const mark = (/** @type {unknown} */ drawn, /** @type {string} */ said) =>
    html`<li><svg viewBox="0 0 24 24" aria-hidden="true">${drawn}</svg>${said}</li>`;
  return html`<ul class="swim swim-key" aria-hidden="true">
    ${mark(svg`<g class="swim-feed"><circle cx="12" cy="12" r=${LETTER} /><text x="12" y="16.5" text-anchor="middle">A</text></g>`, throwWords.keyThrow)}
    ${mark(svg`<path class="swim-float" d="M12 3l4 9l-4 6l-4 -6Z" />`, throwWords.keyRig)}
    ${mark(svg`<path class="swim-settled" d="M6 6l12 12m0 -12l-12 12" />`, throwWords.keySettles)}
    ${mark(svg`<path class="swim-bar" d="M2 12H22M2 8v8M22 8v8" />`, throwWords.keyLies)}</ul>`;
}

/** The letters' rows over the water, so that none covers another. @param {number[]} xs */
export function rowsOf(xs) {
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

/** Its way to the fish, and past them to the bed. @param {import("./swim.js").Landed} feed
 * @param {number} n @param {import("./swim.js").Water} water @param {Place} place */
function feedDraw({ path, throwAt, drift, onward }, n, water, { x, y }) {
  const way = path.map(([along, fallen]) => at(x(throwAt + along), y(fallen))).join("L");
  const beyond = water.fish < water.depth
    ? `M${at(x(throwAt + drift), y(water.fish))}L${at(x(throwAt + drift + onward), y(water.depth))}` : null;
  return svg`<g class=${`swim-feed is-${n % 4}`}><path d=${`M${way}`} />
    ${beyond ? svg`<path class="swim-beyond" d=${beyond} />` : nothing}</g>`;
}

/** @param {import("./swim.js").Landed} feed @param {number} n @param {number} row @param {Place} place */
function letterDraw(feed, n, row, { x, sky }) {
  const left = x(feed.throwAt);
  const middle = sky - ABOVE - LETTER - 2 * LETTER * row;
  return svg`<g class=${`swim-feed is-${n % 4}`}>
    <path class="swim-drop" d=${`M${at(left, middle + LETTER)}V${sky}m-4 -6l4 6l4 -6`} />
    ${letterMark(n, left, middle)}</g>`;
}

/** The letter of the feed in its circle. @param {number} n @param {number} x @param {number} y */
export function letterMark(n, x, y) {
  return svg`<g transform=${`translate(${at(x, y)})`}>
    <circle r=${LETTER} /><text y="4.5" text-anchor="middle">${letterOf(n)}</text></g>`;
}

/** Where nine in ten lie, in the bed. @param {import("./swim.js").Landed} feed @param {number} n
 * @param {Place} place */
function barDraw({ lands }, n, { x, bed, way }) {
  const middle = bed + RULER + BAR * n + 2;
  const [up, down] = [x(lands.p5), x(lands.p95)];
  return svg`<g class=${`swim-feed is-${n % 4}`}>
    <path class="swim-bar" d=${`M${at(up, middle)}H${down.toFixed(1)}M${at(up, middle - 3)}v6M${at(down, middle - 3)}v6`} />
    <text class="swim-hour" x=${(up - way * 8).toFixed(1)} y=${(middle + 3.5).toFixed(1)} text-anchor="middle">${letterOf(n)}</text></g>`;
}

/** Arrows as long as the water is quick at that height, wind and all.
 * @param {import("./swim.js").Water} water @param {import("./swim.js").Around} around
 * @param {Place} place */
function flowDraw(water, { wind }, { y, way }) {
  const along = { none: 0, up: -wind.speed, down: wind.speed }[wind.way];
  const swim = { ...water, exponent: 6, fishDepth: water.fish, wind: along };
  const falls = Array.from({ length: ARROWS }, (_, n) => (water.depth * (n + 0.15)) / ARROWS);
  const flows = falls.map((fallen) => flowAt(swim, water.depth - fallen));
  const unit = LONGEST / Math.max(...flows.map(Math.abs));
  const start = way > 0 ? 3 : WIDE - 3;
  const arrows = flows.map((flow, n) => {
    const long = flow * unit * way;
    const head = 3 * Math.sign(long);
    const tail = flow < 0 ? start - long : start;
    return `M${at(tail, y(falls[n]))}h${long.toFixed(1)}l${-head} -3m${head} 3l${-head} 3`;
  });
  return svg`<path class="swim-flow" d=${arrows.join("")} />`;
}

/** A tick a metre on the bed, a number at every fifth. @param {number} from @param {number} to
 * @param {Place} place */
function metresDraw(from, to, { x, bed }) {
  const metres = Array.from({ length: Math.floor(to) - Math.ceil(from) + 1 }, (_, n) => Math.ceil(from) + n);
  const apart = to - from > 30 ? 10 : to - from > 12 ? 5 : 2;
  const ticks = metres.map((m) => `M${at(x(m), bed)}v${m % apart ? 3 : 6}`);
  return svg`<path class="swim-ruler" d=${ticks.join("")} />
    ${metres.filter((m) => m % apart === 0).map((m) => svg`
      <text class="swim-metres" x=${x(m).toFixed(1)} y=${(bed + RULER - 3).toFixed(1)} text-anchor="middle">${
        m ? Math.abs(m) : throwWords.zero}</text>`)}`;
}

/** The fish wait downstream of the rig, heads into the flow. @param {number} x @param {number} y
 * @param {Place} place */
function fishDraw(x, y, { bed, way }) {
  const eye = Math.min(y, bed - 5);
  return svg`<path class="swim-fish"
    d=${`M${at(x + way * 8, eye)}q${way * 9} -9 ${way * 18} 0q${-way * 9} 9 ${-way * 18} 0m${way * 18} 0l${way * 6} -5v10Z`} />`;
}

/** @param {number} x @param {number} y */
export function at(x, y) {
  return `${x.toFixed(1)} ${y.toFixed(1)}`;
}
