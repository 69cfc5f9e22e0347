// @ts-check
import { fishAgree } from "./fish.js";

/**
 * Facts as the phone writes them, and what is in force among those it knows.
 * @typedef {"weigh_in"|"feed_note"|"fish_note"|"peg_note"|"line_note"|"feed_test"|"feed_throw"|"signal"|"scratch"|"ruling"} Kind
 * @typedef {{id: string, device: string, seq: number, kind: Kind, match: string, peg: string,
 *   recorded_at: string, clock_offset_ms: number, supersedes: string | null,
 *   body: Record<string, any>}} Fact
 * @typedef {{id: string, kind: Kind, match: string, peg?: string, supersedes?: string | null,
 *   body: Record<string, any>}} Draft
 * @typedef {"kept"|"sent"|"refused"|"seen"} State seen: a mate's, which the server has
 * @typedef {{id: string, person: string, match: string, state: State, fact: Fact,
 *   kept_at: number, sent_at?: number, outcome?: string, cseq?: number,
 *   rivals?: {fact: string, author: string, kind: string}[],
 *   problem?: {title?: string, detail?: string, errors?: {pointer: string, message: string}[]},
 *   clash_of?: string, carried?: {person: string, name: string, key: string, signature: string}}} OwnRow
 * @typedef {{fact: Fact, own: OwnRow | null, author: {id: string, name: string} | null}} Known
 */

/** Whose the rows are that this phone carries for mates. */
export const CARRIED = "carried";

/** As the server would give them out. @param {OwnRow[]} rows */
export const carriedShown = (rows) => rows.filter((row) => row.state !== "refused").map((row) => ({
  ...row.fact, cseq: row.cseq, author: { id: row.carried?.person, name: row.carried?.name },
}));

/**
 * A fact as it is sent: the draft, by whom it is numbered and when it was logged.
 * @param {Draft} draft
 * @param {{device: string, seq: number, now: number, offset: number}} from
 * @returns {Fact}
 */
export function factMake(draft, { device, seq, now, offset }) {
  return {
    id: draft.id,
    device,
    seq,
    kind: draft.kind,
    match: draft.match,
    peg: draft.peg ?? "",
    recorded_at: new Date(now).toISOString(),
    clock_offset_ms: offset,
    supersedes: draft.supersedes ?? null,
    body: draft.body,
  };
}

/**
 * One entry a fact, own and pulled ones together, refused ones and such as no screen can read left
 * out.
 * @param {OwnRow[]} own
 * @param {any[]} pulled facts as the server gave them out
 * @returns {Known[]}
 */
export function factsKnown(own, pulled) {
  /** @type {Map<string, Known>} */
  const known = new Map();
  for (const fact of pulled) known.set(fact.id, { fact, own: null, author: fact.author ?? null });
  for (const row of own) {
    if (row.state === "refused") continue;
    known.set(row.id, { fact: row.fact, own: row, author: null });
  }
  return [...known.values()].filter((k) => bodySound(k.fact));
}

/**
 * What a person logged and still stands, newest number last.
 * @param {Known[]} known
 * @param {{id: string} | null} person
 * @param {Kind} kind
 */
export function ownInForce(known, person, kind) {
  return inForce(known).filter((k) =>
    k.fact.kind === kind && (k.own !== null || k.author?.id === person?.id));
}

/**
 * The leaves: what nothing else supersedes. A scratch takes its original away and is no leaf.
 * @param {Known[]} known
 * @param {(later: Known, earlier: Known) => boolean} [corrects] whether it takes its place
 * @returns {Known[]}
 */
export function inForce(known, corrects) {
  if (corrects) return leavesOf(known, corrects);
  const before = inForceOf.get(known) ?? leavesOf(known, () => true);
  inForceOf.set(known, before);
  return before;
}

/** A screen asks often, and what is known changes seldom. @type {WeakMap<Known[], Known[]>} */
const inForceOf = new WeakMap();

/** @param {Known[]} known @param {(later: Known, earlier: Known) => boolean} corrects */
function leavesOf(known, corrects) {
  const of = new Map(known.map((k) => [k.fact.id, k]));
  const gone = new Set();
  for (const k of known) {
    const earlier = k.fact.supersedes ? of.get(k.fact.supersedes) : undefined;
    if (earlier && corrects(k, earlier)) gone.add(earlier.fact.id);
  }
  return known.filter((k) => k.fact.kind !== "scratch" && !gone.has(k.fact.id));
}

/**
 * Whose weigh-ins take the place of whose, as on the server: one's own, and an official's any.
 * @param {any} pack one from before it named the officials knows only the reader's rights
 * @returns {(later: Known, earlier: Known) => boolean}
 */
export function correctsIn({ officials, person }) {
  const isOfficial = (/** @type {string} */ id) =>
    officials ? officials.includes(id) : id !== person?.id || person.may_weigh;
  return (later, earlier) =>
    authorOf(later) === authorOf(earlier) || isOfficial(authorOf(later));
}

/** @param {Known} k */
const authorOf = (k) => String(k.own?.person ?? k.author?.id);

/**
 * Weigh-ins in force, by peg and then net. More than one for a net is a disagreement, until the
 * secretary rules which of them stands.
 * @param {Known[]} known
 * @param {any} [pack] of the match, to know whose correction takes the place of whose
 * @returns {Map<string, Map<number, Known[]>>}
 */
export function weighedByPeg(known, pack = {}) {
  const before = weighedOf.get(known);
  if (before && before.pack === pack) return before.pegs;
  const pegs = pegsWeighed(known, pack);
  weighedOf.set(known, { pack, pegs });
  return pegs;
}

/** @type {WeakMap<Known[], {pack: any, pegs: Map<string, Map<number, Known[]>>}>} */
const weighedOf = new WeakMap();

/** @param {Known[]} known @param {any} pack @returns {Map<string, Map<number, Known[]>>} */
function pegsWeighed(known, pack) {
  /** @type {Map<string, Map<number, Known[]>>} */
  const pegs = new Map();
  const leaves = inForce(known, correctsIn(pack));
  for (const k of leaves) {
    if (k.fact.kind !== "weigh_in") continue;
    const nets = pegs.get(k.fact.peg) ?? new Map();
    pegs.set(k.fact.peg, nets);
    nets.set(k.fact.body.net, [...(nets.get(k.fact.body.net) ?? []), k]);
  }
  for (const ruling of leaves.filter((k) => k.fact.kind === "ruling")) {
    for (const nets of pegs.values()) netRuled(nets, ruling);
  }
  return pegs;
}

/** What was chosen stands, beside what came after. @param {Map<number, Known[]>} nets @param {Known} ruling */
function netRuled(nets, ruling) {
  for (const [net, leaves] of nets) {
    const stands = leaves.find((k) => k.fact.id === ruling.fact.body.stands);
    if (stands) {
      nets.set(net, [stands, ...leaves.filter((k) => cseqOf(k) > cseqOf(ruling))]);
    }
  }
}

/** What is unsent comes last. @param {Known} k */
const cseqOf = (k) => /** @type {any} */ (k.fact).cseq ?? k.own?.cseq ?? Infinity;

/** By the club's numbers, then by the phone's own. @param {Known} a @param {Known} b */
export function byOrder(a, b) {
  const [one, other] = [cseqOf(a), cseqOf(b)];
  return one === other ? a.fact.seq - b.fact.seq : one - other;
}

/**
 * Whether the facts for one net say different weights, or count different fish.
 * @param {Known[]} leaves
 */
export function netDisputed(leaves) {
  const first = leaves.find((k) => k.fact.body.fish)?.fact.body.fish;
  return new Set(leaves.map((k) => k.fact.body.weight)).size > 1
    || leaves.some((k) => !fishAgree(first, k.fact.body.fish));
}

/**
 * Whether the secretary has to settle what is kept of a net: weights that differ, or one kept
 * here after the result was confirmed.
 * @param {Known[]} leaves
 * @param {any} match
 */
export function netToSettle(leaves, match) {
  return netDisputed(leaves)
    || (match.state === "confirmed" && leaves.some((k) => k.own?.state === "kept"));
}

/**
 * Which of a net's facts a new one corrects: one's own; else the first, unless this says the same,
 * for then a second has seen it and both stay.
 * @param {Known[]} leaves
 * @param {{weight: number, fish?: import("./fish.js").Fish}} body
 * @param {string | undefined} person
 */
export function netCorrected(leaves, body, person) {
  const mine = leaves.find((k) => k.own?.person === person || (k.author && k.author.id === person));
  if (mine) return mine.fact;
  const first = leaves[0]?.fact;
  if (!first) return null;
  const same = first.body.weight === body.weight && fishAgree(first.body.fish, body.fish);
  return same ? null : first;
}

/**
 * A weight worth asking about: far above what else was weighed, or above what most nets are
 * let count (from common practice: 50 lb, about 22.7 kg). Asked, never refused.
 * @param {number} weight
 * @param {import("./weights.js").WeightUnit} unit
 * @param {number[]} others weights in force elsewhere
 */
export function weightUnusual(weight, unit, others) {
  const netCap = unit === "g" ? 22_680 : 12_800;
  const caught = others.filter((other) => other > 0);
  return weight > netCap || (caught.length >= 3 && weight > 3 * Math.max(...caught));
}

const whole = Number.isSafeInteger;
const text = (/** @type {unknown} */ it) => typeof it === "string";
const wholeOrNone = (/** @type {unknown} */ it) => it === undefined || it === null || whole(it);
const textOrNone = (/** @type {unknown} */ it) => it === undefined || it === null || text(it);

/** @param {any} fish */
const fishSound = (fish) => fish === undefined || fish === null || (Array.isArray(fish)
  && fish.every((pair) => Array.isArray(pair) && text(pair[0]) && whole(pair[1])));

/** @type {Record<Kind, (body: any) => boolean>} */
const SOUND = {
  weigh_in: (b) => whole(b.net) && whole(b.weight) && b.weight >= 0 && fishSound(b.fish),
  feed_note: (b) => text(b.bait) && text(b.unit) && text(b.amount) && /^\d+(\.\d+)?$/.test(b.amount)
    && textOrNone(b.line),
  fish_note: (b) => text(b.species) && whole(b.count) && wholeOrNone(b.about) && textOrNone(b.line),
  peg_note: (b) => [b.depth_cm, b.rig_settles_cm, b.rig_settles_ms, b.celsius_tenths].every(wholeOrNone)
    && textOrNone(b.note) && textOrNone(b.snags)
    && (!b.float_run || (whole(b.float_run.distance_cm) && whole(b.float_run.ms))),
  line_note: (b) => text(b.line),
  feed_test: (b) => text(b.bait) && wholeOrNone(b.jar_cm) && wholeOrNone(b.ms)
    && [b.aside, b.again].every((of) => !of || (text(of.match) && text(of.author))),
  feed_throw: (b) => textOrNone(b.bait) && [b.ball_mm, b.out_cm, b.rod_cm].every(wholeOrNone) && whole(b.upstream_cm),
  signal: (b) => text(b.signal),
  scratch: () => true,
  ruling: () => true,
};

/**
 * Whether a body holds what the screens read of it. A file edited by hand may hold anything, and
 * what was erased holds nothing; the server judges the rest.
 * @param {{kind: string, body: any}} fact
 */
export function bodySound({ kind, body }) {
  return body !== null && typeof body === "object" && Object.hasOwn(SOUND, kind)
    && SOUND[/** @type {Kind} */ (kind)](body);
}
