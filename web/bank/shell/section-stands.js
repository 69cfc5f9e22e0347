// @ts-check
/** How a section stands as far as this phone knows. */
import { pegStand } from "./along.js";
import { speciesScored } from "./fish.js";

/** @typedef {import("./facts.js").Known} Known */
/** @typedef {import("./along.js").Stand} Stand */

/**
 * The pegs of a section in their order, each with who sits there and how it stands; and the first
 * of those weighed by what the match scores, more than one where they are level.
 * @param {any} pack @param {string} label @param {Map<string, Map<number, Known[]>>} weighed
 */
export function sectionStands(pack, label, weighed) {
  const rows = pack.pegs
    .filter((/** @type {any} */ p) => p.section === label)
    .map((/** @type {any} */ peg) => ({ peg, stand: pegStand(weighed.get(peg.number), pack.match) }));
  const score = (/** @type {Stand} */ s) => (speciesScored(pack.match).length ? s.points : s.counted);
  const best = Math.max(0, ...rows.map((/** @type {any} */ r) => (r.stand ? score(r.stand) : 0)));
  return {
    rows, best,
    leaders: rows.filter((/** @type {any} */ r) => best > 0 && r.stand && score(r.stand) === best),
    weighed: rows.filter((/** @type {any} */ r) => r.stand).length,
    drawn: rows.filter((/** @type {any} */ r) => r.peg.angler).length,
  };
}
