// @ts-check
/**
 * What a swim's page works out beside the throws, step by step, so that no step holds up a finger.
 * @typedef {import("./reckon/tighten.js").Asked} Asked
 * @typedef {import("./reckon/tighten.js").Way & {wide: number, near: number}} WayFound
 * @typedef {{chosen: string, wide: number, near: number, ways: WayFound[]}} Tight
 * @typedef {{loose: string, reach: {name: string, speed: number | null}[], speeds: number[],
 *   depths: number[], cells: import("./reckon/reach.js").Compared[]}} Table
 * @typedef {{depth: number, speed: number, feeds: {name: string, before: number, after: number}[]}} Risen
 * @typedef {{tight: Tight, table: Table, risen: Risen}} Found
 */
import { landingOf } from "./reckon/landing.js";
import { sunkOf } from "./reckon/placement.js";
import { comparedAt, reachSpeed } from "./reckon/reach.js";
import { swimRisen } from "./reckon/rise.js";
import { waysFor } from "./reckon/tighten.js";
import { waterAt } from "./reckon/water.js";

/** The parts of the flow and of the depth as they are that are compared. */
const SPEEDS = [0.5, 0.75, 1, 1.25, 1.5, 2];
const DEPTHS = [0.75, 1, 1.25, 1.5];
const BALL = { name: "", shape: /** @type {const} */ ("ball"), diameter: 0.08, density: 1500 };

/**
 * Goes on with each `next`; what it returns at the end is all that was found.
 * @param {Asked} asked @param {{chosen: string | null, long: number, rise: number}} wanted
 * @returns {Generator<undefined, Found>}
 */
export function* swimWork(asked, { chosen, long, rise }) {
  const tight = yield* tightWork(asked, chosen);
  const table = yield* tableWork(asked, tight.chosen, long);
  return { tight, table, risen: yield* riseWork(asked, rise) };
}

/** The chosen feed, or the one that lies widest. @param {Asked} asked @param {string | null} chosen
 * @returns {Generator<undefined, Tight>} */
function* tightWork(asked, chosen) {
  const { swim, settles, feeds } = asked;
  const laid = [];
  for (const feed of feeds) {
    laid.push({ feed, ...lies(feed, swim, settles) });
    yield;
  }
  const own = laid.find(({ feed }) => feed.name === chosen)
    ?? laid.reduce((widest, each) => (each.wide > widest.wide ? each : widest));
  /** @type {WayFound[]} */
  const ways = [];
  for (const way of waysFor(own.feed, asked)) {
    ways.push({ ...way, ...lies(way.feed, way.swim, settles) });
    yield;
  }
  ways.sort((a, b) => a.wide - b.wide);
  return { chosen: own.feed.name, wide: own.wide, near: own.near, ways };
}

/** @param {import("./reckon/placement.js").Feed} feed @param {import("./reckon/flow.js").Swim} swim
 * @param {number} settles */
function lies(feed, swim, settles) {
  const { p5, p95, near } = landingOf(feed, swim, settles);
  return { wide: p95 - p5, near };
}

/** Up to what flow each gets there, and loose feed against balls around the flow and depth as they
 * are. @param {Asked} asked @param {string} chosen @param {number} long
 * @returns {Generator<undefined, Table>} */
function* tableWork({ swim, feeds }, chosen, long) {
  const reach = [];
  for (const feed of feeds) {
    reach.push({ name: feed.name, speed: reachSpeed(feed, swim, long) });
    yield;
  }
  const loose = feeds.find((feed) => feed.name === chosen && !isBall(feed))
    ?? feeds.find((feed) => !isBall(feed));
  const speeds = SPEEDS.map((part) => part * swim.speed);
  const depths = DEPTHS.map((part) => part * swim.depth);
  if (!loose) return { loose: "", reach, speeds, depths, cells: [] };
  const balls = feeds.find(isBall) ?? BALL;
  const cells = [];
  for (const speed of speeds) {
    for (const depth of depths) {
      cells.push(comparedAt(loose, balls, swim, long, speed, depth));
      yield;
    }
  }
  return { loose: loose.name, reach, speeds, depths, cells };
}

/** @param {Asked} asked @param {number} rise @returns {Generator<undefined, Risen>} */
function* riseWork({ swim, settles, feeds }, rise) {
  const then = swimRisen(swim, rise);
  const water = waterAt(swim.celsius);
  const moved = [];
  for (const feed of feeds) {
    const [before, after] = [swim, then].map((each) => settles - sunkOf(feed, each, water).drift);
    moved.push({ name: feed.name, before, after });
    yield;
  }
  return { depth: then.depth, speed: then.speed, feeds: moved };
}

/** @param {import("./reckon/placement.js").Feed} feed */
const isBall = (feed) => "shape" in feed && feed.shape === "ball";
