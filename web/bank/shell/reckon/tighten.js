// @ts-check
/**
 * What would lay one feed closer together. The same ways as bait/reckon/placement/tighten.py.
 * @typedef {import("./flow.js").Swim} Swim
 * @typedef {import("./placement.js").Feed} Feed
 * @typedef {"closer" | "low" | "heavier" | "balls" | "slack"} WayName
 * @typedef {{way: WayName, feed: Feed, swim: Swim}} Way what is thrown then, in what water
 * @typedef {{swim: Swim, settles: number, feeds: Feed[], angler: import("./rods.js").Angler | null}} Asked
 */
import { sinkSpeedOf, sunkOf } from "./placement.js";
import { waterAt } from "./water.js";

const CLOSER_PART = 0.5;
const LOW_PART = 0.5;
const HEAVIER_PART = 1.5;
const SLACK_PART = 0.75;
const BALL = { shape: /** @type {const} */ ("ball"), diameter: 0.08, density: 1500 };

/** Each way that goes for this feed; `landingOf` says where it lands. @param {Feed} feed
 * @param {Asked} asked @returns {Way[]} */
export function waysFor(feed, asked) {
  const { swim, angler } = asked;
  const usual = thrown(feed, asked, swim);
  const slack = {
    ...swim, speed: swim.speed * SLACK_PART, speedSd: (swim.speedSd ?? 0) * SLACK_PART,
  };
  const ball = isBall(feed) ? null : ballOf(feed, asked, usual);
  return [
    ...(angler ? [{
      way: /** @type {const} */ ("closer"), swim,
      feed: strays(feed, thrown(feed, asked, swim, angler.line * CLOSER_PART) / usual),
    }] : []),
    { way: "low", feed: strays(feed, LOW_PART), swim },
    ...(ball ? [
      { way: /** @type {const} */ ("heavier"), feed: heavierOf(feed, asked, usual), swim },
      { way: /** @type {const} */ ("balls"), feed: ball, swim },
    ] : []),
    { way: "slack", feed: strays(feed, thrown(feed, asked, slack) / usual), swim: slack },
  ];
}

/** The loose feed that sinks fastest, or this one made to sink half as fast again.
 * @param {Feed} feed @param {Asked} asked @param {number} usual @returns {Feed} */
function heavierOf(feed, asked, usual) {
  const water = waterAt(asked.swim.celsius);
  const speed = (/** @type {Feed} */ each) => sinkSpeedOf(each, water);
  const heaviest = asked.feeds.filter((each) => !isBall(each))
    .reduce((best, each) => (speed(each) > speed(best) ? each : best), feed);
  if (heaviest !== feed) return heaviest;
  const faster = {
    name: feed.name, sink: speed(feed) * HEAVIER_PART,
    sinkSd: (feed.sinkSd ?? 0) * HEAVIER_PART, throwSd: feed.throwSd,
  };
  return strays(faster, thrown(faster, asked, asked.swim) / usual);
}

/** The first ball there is, or the usual one, thrown as this feed is.
 * @param {Feed} feed @param {Asked} asked @param {number} usual @returns {Feed} */
function ballOf(feed, asked, usual) {
  const named = asked.feeds.find(isBall);
  if (named) return named;
  const ball = { ...BALL, name: "", throwSd: feed.throwSd };
  return strays(ball, thrown(ball, asked, asked.swim) / usual);
}

/** How far it flies from the angler; 1 where nobody said where the angler is.
 * @param {Feed} feed @param {Asked} asked @param {Swim} swim @param {number} [line] */
function thrown(feed, { settles, angler }, swim, line = angler?.line) {
  if (line === undefined) return 1;
  return Math.hypot(settles - sunkOf(feed, swim, waterAt(swim.celsius)).drift, line);
}

/** @template {Feed} T @param {T} feed @param {number} part @returns {T} */
const strays = (feed, part) => ({ ...feed, throwSd: (feed.throwSd ?? 0) * part });

/** @param {Feed} feed */
const isBall = (feed) => "shape" in feed && feed.shape === "ball";
