// @ts-check
/**
 * Peg notes as typed, and as a fact's body: whole centimetres, tenths of a degree.
 * @typedef {{depth: string, settles: string, note: string, snags?: string, celsius?: string}} Typed
 */

/**
 * The body of a peg note, or null when a number does not read as one or nothing was typed.
 * @param {Typed} typed
 */
export function pegNoteBody({ depth, settles, note, snags = "", celsius = "" }) {
  const [depth_cm, rig_settles_cm] = [depth, settles].map(wholeRead);
  const tenths = tenthsRead(celsius);
  if ([depth_cm, rig_settles_cm, tenths].includes(undefined)) return null;
  const [said, snagged] = [note, snags].map((text) => text.trim().slice(0, 500));
  if (tenths === null && depth_cm === null && rig_settles_cm === null && !said && !snagged) return null;
  return {
    depth_cm, float_run: null, rig_settles_cm, note: said, ...(snagged ? { snags: snagged } : {}),
    ...(tenths === null ? {} : { celsius_tenths: tenths }),
  };
}

/** @param {string} text @returns {number | null | undefined} undefined for what is no number */
function wholeRead(text) {
  if (text.trim() === "") return null;
  return /^\d{1,4}$/.test(text.trim()) ? Number(text) : undefined;
}

/** Where the reckoning of water ends. */
const WARMEST_TENTHS = 300;

/** @param {string} text °C with at most one decimal @returns {number | null | undefined} */
function tenthsRead(text) {
  if (text.trim() === "") return null;
  const found = /^(\d{1,2})(?:[.,](\d))?$/.exec(text.trim());
  const tenths = found ? Number(found[1]) * 10 + Number(found[2] ?? 0) : Infinity;
  return tenths <= WARMEST_TENTHS ? tenths : undefined;
}
