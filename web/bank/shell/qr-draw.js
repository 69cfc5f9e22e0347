// @ts-check
/** One text as a QR code (ISO/IEC 18004), dark on light with its quiet zone of four modules. */
import { correction, generate, mode } from "./vendor/lean-qr.js";

const QUIET = 4;
const LEAST = { minCorrectionLevel: correction.L, modes: [mode.alphaNumeric] };

/**
 * The code of a text, with as little correction as a screen needs.
 * @param {string} text of the letters of base 45
 */
export const qrOf = (text) => generate(text, LEAST);

/** Draw it on a canvas, a pixel a module. @param {HTMLCanvasElement} canvas @param {string} text */
export function qrDraw(canvas, text) {
  // Black on white whatever the light theme: a camera looks at it.
  qrOf(text).toCanvas(canvas, { pad: QUIET, on: [0, 0, 0], off: [255, 255, 255] });
}
