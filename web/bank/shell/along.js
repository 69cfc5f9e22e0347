// @ts-check
/**
 * How the pegs of a match stand as far as this phone knows: what each weighed, and who is
 * weighed next along the bank.
 * @typedef {import("./facts.js").Known} Known
 * @typedef {{weight: number, counted: number, fish: import("./fish.js").Fish, fishMissing: boolean,
 *   points: number, disputed: boolean, here: boolean}} Stand `here`: kept on this phone only
 */
import { netToSettle } from "./facts.js";
import { fishPoints, netCounted, speciesScored } from "./fish.js";

/**
 * What a peg's nets come to, in the match's unit.
 * @param {Map<number, Known[]> | undefined} nets @param {any} match @returns {Stand | null} null before the scales came
 */
export function pegStand(nets, match) {
  if (!nets) return null;
  const leaves = [...nets.values()];
  const bodies = leaves.map(([first]) => first.fact.body);
  const sum = (/** @type {(body: any) => number} */ of) => bodies.reduce((all, body) => all + of(body), 0);
  const fish = bodies.flatMap((body) => body.fish ?? []);
  return {
    weight: sum((body) => body.weight),
    counted: sum((body) => netCounted(body.weight, match)),
    fish,
    fishMissing: bodies.some((body) => body.weight && !body.fish),
    points: fishPoints(fish, speciesScored(match)),
    disputed: leaves.some((of) => netToSettle(of, match)),
    here: leaves.flat().some((k) => k.own?.state === "kept"),
  };
}

/**
 * The next peg to weigh after `from`, along its section and then along the bank, round to the
 * beginning; without `from` the first. Null when all are weighed.
 * @param {any[]} pegs in their order along the bank @param {Map<string, any>} weighed
 * @param {string | null} from
 */
export function nextAlong(pegs, weighed, from) {
  const at = pegs.findIndex((p) => p.number === from);
  const round = [...pegs.slice(at + 1), ...pegs.slice(0, at + 1)];
  const open = round.filter((p) => p.angler && !weighed.has(p.number));
  const section = pegs[at]?.section;
  return open.find((p) => p.section === section) ?? open[0] ?? null;
}
