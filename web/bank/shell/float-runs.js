// @ts-check
/**
 * The flow by float runs: each a distance and a time; several give a mean and how far apart they
 * are. Speeds are whole millimetres a second, at the surface.
 * @typedef {{distance_cm: number, ms: number}} Run
 */

/** Millimetres a second. @param {Run} run */
export const speedOf = ({ distance_cm, ms }) => Math.round((distance_cm * 10_000) / ms);

/**
 * How many runs, their mean speed, the slowest and the quickest.
 * @param {Run[]} runs
 * @returns {{many: number, mean: number, least: number, most: number} | null} null without a run
 */
export function flowOf(runs) {
  const speeds = runs.map(speedOf);
  if (!speeds.length) return null;
  const sum = speeds.reduce((all, speed) => all + speed, 0);
  return {
    many: speeds.length, mean: Math.round(sum / speeds.length),
    least: Math.min(...speeds), most: Math.max(...speeds),
  };
}

/** "0.70", metres a second. @param {number} speed */
export const metresText = (speed) => (speed / 1000).toFixed(2);

/**
 * A watch's reading as a run, or null where it is none: nothing floats by in less than half a
 * second, and a watch forgotten for an hour measured nothing.
 * @param {number} distance_cm @param {number} ms @returns {Run | null}
 */
export function runOf(distance_cm, ms) {
  const whole = Math.round(ms);
  return distance_cm >= 1 && whole >= 500 && whole < 3_600_000 ? { distance_cm, ms: whole } : null;
}
