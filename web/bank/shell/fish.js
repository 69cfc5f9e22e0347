// @ts-check
/**
 * Fish counted in a net, and what a net counts. The desk reckons the same; this is for showing.
 * @typedef {{name: string, points: number}} Species
 * @typedef {[string, number][]} Fish
 * @typedef {{net_cap?: number | null, net_cap_rule?: string, scored_by?: string, species?: Species[]}} Rules
 */

const MOST = 10_000;

/**
 * The species this match scores; none where only the weight counts, or where the package is older.
 * @param {Rules} rules
 * @returns {Species[]}
 */
export function speciesScored(rules) {
  return rules.scored_by === "fish" ? rules.species ?? [] : [];
}

/**
 * Counts to begin with: those kept before, noughts for the rest.
 * @param {Species[]} species
 * @param {Fish | null | undefined} before
 * @returns {Fish}
 */
export function fishStart(species, before) {
  const kept = new Map(before ?? []);
  return species.map(({ name }) => [name, kept.get(name) ?? 0]);
}

/**
 * One more or less of a species, never below nought.
 * @param {Fish} fish
 * @param {string} name
 * @param {number} by
 * @returns {Fish}
 */
export function fishPress(fish, name, by) {
  return fish.map(([of, count]) =>
    [of, of === name ? Math.min(MOST, Math.max(0, count + by)) : count]);
}

/**
 * The points of a catch; a species that scores none gives none.
 * @param {Fish | null | undefined} fish
 * @param {Species[]} species
 */
export function fishPoints(fish, species) {
  const points = new Map(species.map((s) => [s.name, s.points]));
  return (fish ?? []).reduce((sum, [name, count]) => sum + count * (points.get(name) ?? 0), 0);
}

/** How many fish a catch has. @param {Fish | null | undefined} fish */
export function fishMany(fish) {
  return (fish ?? []).reduce((sum, [, count]) => sum + count, 0);
}

/**
 * What a net of that weight counts under the match's cap.
 * @param {number} weight
 * @param {Rules} rules
 */
export function netCounted(weight, rules) {
  const cap = rules.net_cap ?? null;
  if (cap === null || weight <= cap) return weight;
  return rules.net_cap_rule === "nothing" ? 0 : cap;
}

/**
 * Whether two counts say the same; one that is missing says nothing.
 * @param {Fish | null | undefined} one
 * @param {Fish | null | undefined} other
 */
export function fishAgree(one, other) {
  if (!one || !other) return true;
  const said = (/** @type {Fish} */ fish) =>
    JSON.stringify(fish.filter(([, count]) => count > 0).sort(([a], [b]) => (a < b ? -1 : 1)));
  return said(one) === said(other);
}
