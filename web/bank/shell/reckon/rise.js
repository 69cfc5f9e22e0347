// @ts-check
/** What a river that rose does to its flow, as an estimate. The same as bait/reckon/placement/rise.py. */

/** @typedef {import("./flow.js").Swim} Swim */

/**
 * The swim as it is when the river stands so much higher.
 * @param {Swim} swim @param {number} rise metres, below zero where it fell @returns {Swim}
 */
export function swimRisen(swim, rise) {
  const depth = swim.depth + rise;
  const quicker = (depth / swim.depth) ** (2 / 3);
  return {
    ...swimAt(swim, swim.speed * quicker, depth),
    ...(swim.speedSd ? { speedSd: swim.speedSd * quicker } : {}),
  };
}

/** The same swim at another flow and depth; fish at the bed stay at the bed.
 * @param {Swim} swim @param {number} speed @param {number} depth @returns {Swim} */
export function swimAt(swim, speed, depth) {
  const onBed = swim.fishDepth === swim.depth;
  return { ...swim, speed, depth, fishDepth: onBed ? depth : Math.min(swim.fishDepth, depth) };
}
