// @ts-check
/** Numbers in French: nought and one are singular, decimals have a comma. */

/** @param {number} n @param {string} one @param {string} many */
export const count = (n, one, many) => `${n} ${Math.abs(n) < 2 ? one : many}`;

/** @param {string} text */
export const comma = (text) => text.replace(/(\d)\.(\d)/g, "$1,$2");

/** @param {number} n @param {number} places */
export const decimal = (n, places) => comma(n.toFixed(places));
