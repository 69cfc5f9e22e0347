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
  const stepped = stepperOf(ball, swim, water);
  const step = gatheringSeconds(ball, water) / STEPS;
  /** @type {Moving} */
  let now = [0, 0, 0, 0];
  /** @type {[number, number][]} */
  const path = [[0, 0]];
  let seconds = 0;
  for (;;) {
    const later = stepped(now, step);
    if (later[1] >= swim.fishDepth) break;
    seconds += step;
    now = later;
    path.push([now[0], now[1]]);
  }
  let part = step;
  let there = stepped(now, part);
  for (let n = 0; n < CLOSINGS && Math.abs(there[1] - swim.fishDepth) > NEAR_M; n++) {
    part -= (there[1] - swim.fishDepth) / there[3];
    there = stepped(now, part);
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

/**
 * What takes a ball one step on, by the classical fourth-order Runge–Kutta method. In plain numbers:
 * a picture takes some hundred steps, and lists made for each would be half its time.
 * @param {Grain} ball @param {Swim} swim @param {Water} water
 * @returns {(now: Moving, step: number) => Moving}
 */
function stepperOf(ball, swim, water) {
  const inertia = ball.density + water.density / 2;
  const pull = ((ball.density - water.density) * GRAVITY) / inertia;
  const reOf = (ball.diameter * water.density) / water.viscosity;
  const slowing = (0.75 * water.viscosity) / (ball.diameter ** 2 * inertia);
  const flow = (/** @type {number} */ down) => flowAt(swim, swim.depth - down);
  const drag = (/** @type {number} */ against, /** @type {number} */ v) =>
    slowing * dragTimesRe(reOf * Math.sqrt(against * against + v * v));
  return ([along, down, u, v], step) => {
    const half = step / 2;
    const a1 = u - flow(down);
    const d1 = drag(a1, v);
    const [u2, v2] = [u - half * d1 * a1, v + half * (pull - d1 * v)];
    const a2 = u2 - flow(down + half * v);
    const d2 = drag(a2, v2);
    const [u3, v3] = [u - half * d2 * a2, v + half * (pull - d2 * v2)];
    const a3 = u3 - flow(down + half * v2);
    const d3 = drag(a3, v3);
    const [u4, v4] = [u - step * d3 * a3, v + step * (pull - d3 * v3)];
    const a4 = u4 - flow(down + step * v3);
    const d4 = drag(a4, v4);
    const sixth = step / 6;
    return [
      along + sixth * (u + 2 * u2 + 2 * u3 + u4),
      down + sixth * (v + 2 * v2 + 2 * v3 + v4),
      u - sixth * (d1 * a1 + 2 * d2 * a2 + 2 * d3 * a3 + d4 * a4),
      v + sixth * (6 * pull - d1 * v - 2 * d2 * v2 - 2 * d3 * v3 - d4 * v4),
    ];
  };
}
