// @ts-check
/**
 * How fast a thing sinks in still water once it falls evenly, in m/s. The same as
 * bait/reckon/placement/fall.py, where formulas and sources are.
 * @typedef {import("./water.js").Water} Water
 * @typedef {{diameter: number, density: number}} Grain metres, kg/m³
 */

export const GRAVITY = 9.80665;
const TURBULENT_RE = 1000;
const TURBULENT_DRAG = 0.44;
const HALVINGS = 100;

/**
 * How fast a sphere sinks, in m/s, where its weight in water and its drag are even.
 * @param {Grain} body @param {Water} water
 */
export function sphereSpeed({ diameter, density }, water) {
  const weight = ((4 / 3) * GRAVITY * water.density * (density - water.density) * diameter ** 3)
    / water.viscosity ** 2;
  let low = 0;
  let high = Math.max(TURBULENT_RE, Math.sqrt(weight / TURBULENT_DRAG));
  for (let n = 0; n < HALVINGS; n++) {
    const middle = (low + high) / 2;
    if (dragTimesRe(middle) * middle < weight) low = middle;
    else high = middle;
  }
  return (high * water.viscosity) / (water.density * diameter);
}

/** C_D·Re of a sphere. @param {number} re */
export function dragTimesRe(re) {
  return re < TURBULENT_RE ? 24 * (1 + 0.15 * re ** 0.687) : TURBULENT_DRAG * re;
}

/** How fast a grain sinks, in m/s. @param {Grain} body @param {Water} water */
export function grainSpeed({ diameter, density }, water) {
  const pull = (density / water.density - 1) * GRAVITY;
  const thickness = water.viscosity / water.density;
  return (pull * diameter ** 2) / (18 * thickness + Math.sqrt(0.75 * pull * diameter ** 3));
}
