// @ts-check
/**
 * How far the river carries what sinks in it. The same as bait/reckon/placement/flow.py, where
 * formula and sources are.
 * @typedef {{depth: number, speed: number, exponent: number, celsius: number, fishDepth: number,
 *   wind?: number, depthSd?: number, speedSd?: number}} Swim metres, m/s at the surface, n of
 *   u = U·(z/h)^(1/n), °C, metres down from the surface; m/s of wind along the river, below zero
 *   upstream; how well depth and speed are known
 */

export const WIND_PART = 0.03;
const LAYER_M = 0.3;
const LAYER_PART = 1 / 3;

/** The water's speed so far above the bed. @param {Swim} swim @param {number} height */
export function flowAt({ depth, speed, exponent, wind = 0 }, height) {
  const own = speed * (Math.max(0, height) / depth) ** (1 / exponent);
  if (!wind) return own;
  return own + WIND_PART * wind * Math.exp((height - depth) / Math.min(LAYER_M, depth * LAYER_PART));
}

/** Metres downstream after falling `fall` metres at `sink` m/s. @param {Swim} swim
 * @param {number} sink @param {number} fall */
export function drift({ depth, speed, exponent, wind = 0 }, sink, fall) {
  const power = (exponent + 1) / exponent;
  const way = ((speed * depth) / power) * (1 - (1 - fall / depth) ** power);
  return (wind ? way + windWay(depth, fall, wind) : way) / sink;
}

/** What the wind adds, in m²/s. @param {number} depth @param {number} fall @param {number} wind */
function windWay(depth, fall, wind) {
  const layer = Math.min(LAYER_M, depth * LAYER_PART);
  return WIND_PART * wind * layer * (1 - Math.exp(-fall / layer));
}
