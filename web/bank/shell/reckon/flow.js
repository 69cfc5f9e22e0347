// @ts-check
/**
 * How far the river carries what sinks in it. The same as bait/reckon/placement/flow.py.
 * @typedef {{depth: number, speed: number, exponent: number, celsius: number, fishDepth: number}}
 *   Swim metres, m/s at the surface, n of u = U·(z/h)^(1/n), °C, metres down from the surface
 */

/** The water's speed so far above the bed. @param {Swim} swim @param {number} height */
export function flowAt(swim, height) {
  return swim.speed * (Math.max(0, height) / swim.depth) ** (1 / swim.exponent);
}

/** Metres downstream after falling `fall` metres at `sink` m/s. @param {Swim} swim
 * @param {number} sink @param {number} fall */
export function drift(swim, sink, fall) {
  const power = (swim.exponent + 1) / swim.exponent;
  return ((swim.speed * swim.depth) / power) * (1 - (1 - fall / swim.depth) ** power) / sink;
}
