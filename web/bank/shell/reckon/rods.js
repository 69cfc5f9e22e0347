// @ts-check
/**
 * A throw as an angler sees it. The same as bait/reckon/placement/rods.py.
 * @typedef {{line: number, rod: number, flowsTo: "left" | "right"}} Angler metres across to the
 *   rig's line, metres of rod, and the hand to which the river runs
 * @typedef {{upstream: number, across: number, distance: number, rodsUpstream: number,
 *   rodsAcross: number, clock: number}} ThrowPoint metres, lengths of the rod, and the hour: twelve
 *   straight across, three along the bank to the right
 */

const DEGREES_AN_HOUR = 30;

/** Where to throw, in metres, in rods, and as an hour of the clock face before the angler.
 * @param {number} throwAt metres downstream of the rig's entry @param {Angler} angler
 * @returns {ThrowPoint} */
export function throwPoint(throwAt, { line, rod, flowsTo }) {
  const right = flowsTo === "right" ? throwAt : -throwAt;
  const hour = (Math.atan2(right, line) * 180) / Math.PI / DEGREES_AN_HOUR;
  return {
    upstream: -throwAt, across: line, distance: Math.hypot(throwAt, line),
    rodsUpstream: -throwAt / rod, rodsAcross: line / rod, clock: hour > 0 ? hour : hour + 12,
  };
}
