// @ts-check
/**
 * Whether a body holds what the screens read of it. A file edited by hand may hold anything, and
 * what was erased holds nothing; the server judges the rest.
 */
const whole = Number.isSafeInteger;
const text = (/** @type {unknown} */ it) => typeof it === "string";
const wholeOrNone = (/** @type {unknown} */ it) => it === undefined || it === null || whole(it);
const textOrNone = (/** @type {unknown} */ it) => it === undefined || it === null || text(it);

/** @param {any} fish */
const fishSound = (fish) => fish === undefined || fish === null || (Array.isArray(fish)
  && fish.every((pair) => Array.isArray(pair) && text(pair[0]) && whole(pair[1])));

/** @type {Record<string, (body: any) => boolean>} */
const SOUND = {
  weigh_in: (b) => whole(b.net) && whole(b.weight) && b.weight >= 0 && fishSound(b.fish),
  feed_note: (b) => text(b.bait) && text(b.unit) && text(b.amount) && /^\d+(\.\d+)?$/.test(b.amount)
    && textOrNone(b.line),
  fish_note: (b) => text(b.species) && whole(b.count) && wholeOrNone(b.about) && textOrNone(b.line),
  peg_note: (b) => wholeOrNone(b.depth_cm) && wholeOrNone(b.rig_settles_cm) && textOrNone(b.note) && textOrNone(b.snags)
    && (!b.float_run || (whole(b.float_run.distance_cm) && whole(b.float_run.ms))),
  signal: (b) => text(b.signal),
  scratch: () => true,
  ruling: () => true,
};

/** @param {{kind: string, body: any}} fact */
export function bodySound({ kind, body }) {
  return body !== null && typeof body === "object" && Object.hasOwn(SOUND, kind) && SOUND[kind](body);
}
