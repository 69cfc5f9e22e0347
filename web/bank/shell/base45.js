// @ts-check
/** Bytes as letters that a QR code packs tightly (RFC 9285): two bytes in three of 45 letters. */

const LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";

/** Bytes as text, two bytes in three letters (RFC 9285). @param {Uint8Array} bytes @returns {string} */
export function base45Write(bytes) {
  let text = "";
  for (let at = 0; at < bytes.length; at += 2) {
    const pair = at + 1 < bytes.length;
    let number = pair ? bytes[at] * 256 + bytes[at + 1] : bytes[at];
    for (let n = pair ? 3 : 2; n > 0; n -= 1) {
      text += LETTERS[number % 45];
      number = Math.floor(number / 45);
    }
  }
  return text;
}

/**
 * The bytes that such text stands for.
 * @param {string} text @returns {Uint8Array<ArrayBuffer> | null} null for what no bytes are written as
 */
export function base45Read(text) {
  const values = Array.from(text, (letter) => LETTERS.indexOf(letter));
  if (values.includes(-1) || values.length % 3 === 1) return null;
  const bytes = [];
  for (let at = 0; at < values.length; at += 3) {
    const [a, b, c] = values.slice(at, at + 3);
    const number = a + b * 45 + (c ?? 0) * 2025;
    if (number > (c === undefined ? 255 : 65_535)) return null;
    if (c !== undefined) bytes.push(number >> 8);
    bytes.push(number & 255);
  }
  return Uint8Array.from(bytes);
}
