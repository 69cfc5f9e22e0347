// @ts-check
/**
 * How this phone suits the hand that holds it: which hand, and whether it shakes or sounds when
 * something is kept. Of the device, like its light. The tick is always shown: these only add to it.
 * @typedef {"hand" | "shake" | "sound"} Feel
 */

/** @type {Record<Feel, string>} */
const USUAL = { hand: "right", shake: "on", sound: "off" };
/** @type {Partial<Record<Feel, string>>} where a private window keeps nothing */
export const here = {};

/** What this phone was asked to do, or what is usual. @param {Feel} what */
export function feel(what) {
  try {
    return localStorage.getItem(what) ?? here[what] ?? USUAL[what];
  } catch {
    return here[what] ?? USUAL[what];
  }
}

/** Beside the tick, what this phone was asked to do. */
export function keptFeel() {
  if (feel("shake") === "on") navigator.vibrate?.(30);
  if (feel("sound") === "on") void import("./beep.js").then(({ beep }) => beep(), () => null);
}

/** Lay the page out for the hand that was chosen. */
export function handShow() {
  document.documentElement.dataset.hand = feel("hand");
}

handShow();
