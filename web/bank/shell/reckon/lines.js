// @ts-check
/**
 * Which line catches best, and how sure that is: the same reckoning as bait/reckon/lines, held to
 * the same table of cases. Fish come as a Poisson process whose rate has a Gamma prior.
 */

/** @typedef {{name: string, minutes: number, fish: number, weight: number}} Line */
/** @typedef {{name: string, perHour: number, perHour90: [number, number], weightPerHour: number | null, best: number}} LineShown */

const STEPS = 1000;
const REACH = 8;

/**
 * Each line's rates an hour, 90 % interval of its fish, and probability to be the best by weight; by
 * number where nothing is weighed. @param {Line[]} lines @param {{fish: number, minutes: number}} prior
 * @returns {LineShown[]}
 */
export function linesOfCatch(lines, prior) {
  const rates = lines.map((line) => ({
    shape: prior.fish + line.fish, scale: 60 / (prior.minutes + line.minutes),
  }));
  const weights = meanWeights(lines);
  const weighed = rates.map(({ shape, scale }, n) => ({ shape, scale: scale * (weights?.[n] ?? 1) }));
  const shares = bestShares(weighed);
  return lines.map(({ name }, n) => ({
    name,
    perHour: rates[n].shape * rates[n].scale,
    perHour90: [quantile(rates[n], 0.05), quantile(rates[n], 0.95)],
    weightPerHour: weights ? weighed[n].shape * weighed[n].scale : null,
    best: shares[n],
  }));
}

/** @param {Line[]} lines @returns {number[] | null} */
function meanWeights(lines) {
  const known = lines.filter((line) => line.weight);
  if (!known.length) return null;
  const sum = (/** @type {"weight" | "fish"} */ what) => known.reduce((all, line) => all + line[what], 0);
  return lines.map((line) => (line.weight ? line.weight / line.fish : sum("weight") / sum("fish")));
}

/** @typedef {{shape: number, scale: number}} Rate */

/** The probability of each rate to be the greatest. @param {Rate[]} rates @returns {number[]} */
export function bestShares(rates) {
  const grid = [...new Set([0, ...rates.flatMap(stepsOf)])].sort((a, b) => a - b);
  const below = rates.map(({ shape, scale }) => grid.map((x) => gammaBelow(shape, x / scale)));
  const shares = below.map((own, n) => {
    const others = grid.map((_, k) => below.reduce((all, of, m) => (m === n ? all : all * of[k]), 1));
    return own.reduce((sum, value, k) =>
      (k ? sum + ((others[k] + others[k - 1]) / 2) * (value - own[k - 1]) : 0), 0);
  });
  const all = shares.reduce((sum, share) => sum + share, 0);
  return shares.map((share) => share / all);
}

/** Where to look at a rate. @param {Rate} rate @returns {number[]} */
function stepsOf({ shape, scale }) {
  const mean = shape * scale;
  const even = Array.from({ length: STEPS }, (_, n) => n / (STEPS - 1));
  if (shape < 1) {
    return [...even.map((t) => mean * t ** (1 / shape)), ...even.map((t) => mean * (1 + (REACH * t) ** 2))];
  }
  const ninth = 1 / (9 * shape);
  return even.map((t) => {
    const root = 1 - ninth + REACH * (2 * t - 1) * Math.sqrt(ninth);
    return mean * Math.max(root, 0) ** 3;
  });
}

/** @param {Rate} rate @param {number} share */
function quantile({ shape, scale }, share) {
  let [low, high] = [0, shape + 20 * Math.sqrt(shape) + 20];
  for (let n = 0; n < 80; n += 1) {
    const middle = (low + high) / 2;
    if (gammaBelow(shape, middle) < share) low = middle;
    else high = middle;
  }
  return ((low + high) / 2) * scale;
}

/**
 * The regularised lower incomplete gamma function: NIST Digital Library of Mathematical Functions,
 * 8.11.4 (series) and 8.9.2 (continued fraction, by Lentz's method). @param {number} a @param {number} x
 */
export function gammaBelow(a, x) {
  if (x <= 0) return 0;
  const front = Math.exp(a * Math.log(x) - x - logGamma(a));
  if (x < a + 1) {
    let term = 1 / a;
    let sum = term;
    for (let n = 1; term > sum * 1e-16; n += 1) {
      term *= x / (a + n);
      sum += term;
    }
    return Math.min(1, front * sum);
  }
  let b = x + 1 - a;
  let c = 1e300;
  let d = 1 / b;
  let fraction = d;
  for (let n = 1; n < 10_000; n += 1) {
    const an = -n * (n - a);
    b += 2;
    d = 1 / (an * d + b);
    c = b + an / c;
    fraction *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) break;
  }
  return 1 - front * fraction;
}

/**
 * Stirling's series (the same library, 5.11.1), after the recurrence has brought it where that is
 * exact to the last digits. @param {number} a above 0
 */
function logGamma(a) {
  let shift = 0;
  let z = a;
  while (z < 15) {
    shift += Math.log(z);
    z += 1;
  }
  const square = z * z;
  const series = (1 / 12 - (1 / 360 - (1 / 1260 - 1 / (1680 * square)) / square) / square) / z;
  return (z - 0.5) * Math.log(z) - z + 0.5 * Math.log(2 * Math.PI) + series - shift;
}
