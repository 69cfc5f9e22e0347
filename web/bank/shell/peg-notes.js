// @ts-check
/**
 * Peg notes as typed, and as a fact's body: whole centimetres and milliseconds.
 * @typedef {{depth: string, distance: string, seconds: string, settles: string, note: string,
 *   snags?: string, celsius?: string}} Typed
 */

/**
 * The body of a peg note, or null when a number does not read as one or nothing was typed.
 * @param {Typed} typed
 */
export function pegNoteBody({ depth, distance, seconds, settles, note, snags = "", celsius = "" }) {
  const [depth_cm, distance_cm, rig_settles_cm] = [depth, distance, settles].map(wholeRead);
  const ms = thousandthsRead(seconds);
  const tenths = tenthsRead(celsius);
  if ([depth_cm, distance_cm, rig_settles_cm, ms, tenths].includes(undefined)) return null;
  if ((distance_cm === null) !== (ms === null) || distance_cm === 0 || ms === 0) return null;
  const float_run = ms === null ? null : { distance_cm, ms };
  const [said, snagged] = [note, snags].map((text) => text.trim().slice(0, 500));
  const body = { depth_cm, float_run, rig_settles_cm, note: said, ...(snagged ? { snags: snagged } : {}), ...(tenths === null ? {} : { celsius_tenths: tenths }) };
  const nothing = tenths === null && depth_cm === null && float_run === null && rig_settles_cm === null && !said && !snagged;
  return nothing ? null : body;
}

/** @param {string} text @returns {number | null | undefined} undefined for what is no number */
function wholeRead(text) {
  if (text.trim() === "") return null;
  return /^\d{1,4}$/.test(text.trim()) ? Number(text) : undefined;
}

/** @param {string} text seconds with at most three decimals @returns {number | null | undefined} */
function thousandthsRead(text) {
  if (text.trim() === "") return null;
  const found = /^(\d{1,4})(?:[.,](\d{1,3}))?$/.exec(text.trim());
  return found ? Number(found[1]) * 1000 + Number((found[2] ?? "").padEnd(3, "0")) : undefined;
}

/** Where the reckoning of water ends. */
const WARMEST_TENTHS = 300;

/** @param {string} text °C with at most one decimal @returns {number | null | undefined} */
function tenthsRead(text) {
  const thousandths = /[.,]\d\d/.test(text) ? undefined : thousandthsRead(text);
  if (thousandths === undefined || thousandths === null) return thousandths;
  return thousandths <= WARMEST_TENTHS * 100 ? thousandths / 100 : undefined;
}
