// @ts-check
/** Fresh water at one atmosphere. The same as bait/reckon/placement/water.py, where the sources are. */

/** @typedef {{density: number, viscosity: number}} Water kg/m³ and Pa·s */

/**
 * Water from 0 to 30 °C.
 * @param {number} celsius @returns {Water}
 */
export function waterAt(celsius) {
  const off = celsius - 3.983035;
  const density = 999.97495
    * (1 - (off ** 2 * (celsius + 301.797)) / (522528.9 * (celsius + 69.34881)));
  const heat = (celsius + 273.15) / 300;
  const micro = 280.68 * heat ** -1.9 + 511.45 * heat ** -7.7
    + 61.131 * heat ** -19.6 + 0.45903 * heat ** -40;
  return { density, viscosity: micro * 1e-6 };
}
