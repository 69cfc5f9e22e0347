// @ts-check
/**
 * A ball of groundbait from the hand to the bed. The same method and steps as
 * bait/reckon/placement/ball.py, where the equation is.
 * @typedef {import("./fall.js").Grain} Grain
 * @typedef {import("./flow.js").Swim} Swim
 * @typedef {import("./water.js").Water} Water
 * @typedef {[along: number, down: number, alongSpeed: number, downSpeed: number]} Moving
 */
import { dragTimesRe, GRAVITY, sphereSpeed } from "./fall.js";
import { flowAt } from "./flow.js";

const STEPS = 32;
/** Newton's method closes in on the depth within the last step. */
const CLOSINGS = 30;
const NEAR_M = 1e-13;

/**
 * Seconds until its middle is at the fish's depth, metres downstream by then, and its way there.
 * @param {Grain} ball @param {Swim} swim @param {Water} water
 * @returns {{seconds: number, drift: number, path: [along: number, down: number][]}}
 */
export function ballFall(ball, swim, water) {
  const rate = rateOf(ball, swim, water);
  const step = gatheringSeconds(ball, water) / STEPS;
  /** @type {Moving} */
  let now = [0, 0, 0, 0];
  /** @type {[number, number][]} */
  const path = [[0, 0]];
  let seconds = 0;
  for (;;) {
    const later = stepped(now, step, rate);
    if (later[1] >= swim.fishDepth) break;
    seconds += step;
    now = later;
    path.push([now[0], now[1]]);
  }
  let part = step;
  let there = stepped(now, part, rate);
  for (let n = 0; n < CLOSINGS && Math.abs(there[1] - swim.fishDepth) > NEAR_M; n++) {
    part -= (there[1] - swim.fishDepth) / there[3];
    there = stepped(now, part, rate);
  }
  path.push([there[0], swim.fishDepth]);
  return { seconds: seconds + part, drift: there[0], path };
}

/** The time in which, without drag, it would reach its last speed.
 * @param {Grain} ball @param {Water} water */
function gatheringSeconds(ball, water) {
  const pull = ((ball.density - water.density) * GRAVITY) / (ball.density + water.density / 2);
  return sphereSpeed(ball, water) / pull;
}

/** @param {Grain} ball @param {Swim} swim @param {Water} water
 * @returns {(now: Moving) => Moving} */
function rateOf(ball, swim, water) {
  const inertia = ball.density + water.density / 2;
  const pull = ((ball.density - water.density) * GRAVITY) / inertia;
  const reOf = (ball.diameter * water.density) / water.viscosity;
  const slowing = (0.75 * water.viscosity) / (ball.diameter ** 2 * inertia);
  return ([, down, alongSpeed, downSpeed]) => {
    const against = alongSpeed - flowAt(swim, swim.depth - down);
    const drag = slowing * dragTimesRe(reOf * Math.sqrt(against ** 2 + downSpeed ** 2));
    return [alongSpeed, downSpeed, -drag * against, pull - drag * downSpeed];
  };
}

/** One step of the classical fourth-order Runge–Kutta method.
 * @param {Moving} now @param {number} step @param {(now: Moving) => Moving} rate @returns {Moving} */
function stepped(now, step, rate) {
  const first = rate(now);
  const second = rate(after(now, step / 2, first));
  const third = rate(after(now, step / 2, second));
  const fourth = rate(after(now, step, third));
  const of = (/** @type {number} */ n) =>
    now[n] + (step / 6) * (first[n] + 2 * second[n] + 2 * third[n] + fourth[n]);
  return [of(0), of(1), of(2), of(3)];
}

/** @param {Moving} now @param {number} seconds @param {Moving} rate @returns {Moving} */
function after([along, down, alongSpeed, downSpeed], seconds, rate) {
  return [along + seconds * rate[0], down + seconds * rate[1],
    alongSpeed + seconds * rate[2], downSpeed + seconds * rate[3]];
}
