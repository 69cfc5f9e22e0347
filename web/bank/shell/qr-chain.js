// @ts-check
/**
 * Any bytes as a chain of short texts, each for one QR code, shown one after another and read in
 * any order, with repeats and gaps.
 *
 * One text is `DRAWBAG1/` (the 1 is the version) and then, as base 45: 16 bytes that name the
 * chain (the first half of the SHA-256 of all its bytes), which part this is from 0 and how many
 * there are (two bytes each, high byte first), the part's bytes, and a CRC-32 of all before it.
 */
import { base45Read, base45Write } from "./base45.js";

export const PART_BYTES = 230;
/** More would be held up for over a minute: that much goes as a file. */
export const PARTS_MOST = 300;
const VERSION = "1";
const FRAME = /^DRAWBAG(\d+)\/(.*)$/s;
const HEAD_BYTES = 20;
const CRC_BYTES = 4;
/** Chains half read at a time: whoever shows may have begun anew. */
const CHAINS_MOST = 4;

/**
 * @typedef {{kind: "other" | "newer" | "damaged"}
 *   | {kind: "part", chain: string, fresh: boolean, have: number, count: number}} Taken
 */

/** Whether these bytes fit into a chain. @param {Uint8Array} bytes */
export const chainFits = (bytes) => bytes.length > 0 && bytes.length <= PART_BYTES * PARTS_MOST;

/**
 * The texts of a chain, in order. @param {Uint8Array} bytes which fit
 * @returns {Promise<string[]>}
 */
export async function chainMake(bytes) {
  if (!chainFits(bytes)) throw new RangeError(`No chain holds ${bytes.length} bytes.`);
  const id = await chainId(bytes);
  const count = Math.ceil(bytes.length / PART_BYTES);
  // Parts of one length make codes of one size, which a camera need not find anew each time.
  const most = Math.ceil(bytes.length / count);
  return Array.from({ length: count }, (_, index) =>
    frameText(id, index, count, bytes.subarray(index * most, (index + 1) * most)));
}

/** What has been read so far, and the bytes once all of a chain is here. */
export class ChainReader {
  /** @type {Map<string, {count: number, parts: Map<number, Uint8Array>}>} */
  #chains = new Map();

  /** Take what one code says. @param {string} text @returns {Taken} */
  take(text) {
    const [, version, rest] = FRAME.exec(text) ?? [];
    if (version === undefined) return { kind: "other" };
    if (version !== VERSION) return { kind: "newer" };
    const frame = frameRead(rest);
    if (!frame) return { kind: "damaged" };
    const chain = this.#chain(frame);
    if (chain.count !== frame.count) return { kind: "damaged" };
    const fresh = !chain.parts.has(frame.index);
    if (fresh) chain.parts.set(frame.index, frame.part);
    return { kind: "part", chain: frame.chain, fresh, have: chain.parts.size, count: chain.count };
  }

  /**
   * The bytes of a chain all of whose parts are here; null, and all of them given up, when they
   * are not what the chain's name says. @param {string} name @returns {Promise<Uint8Array | null>}
   */
  async whole(name) {
    const chain = this.#chains.get(name);
    if (!chain || chain.parts.size < chain.count) return null;
    const parts = [...chain.parts].sort(([a], [b]) => a - b).map(([, part]) => part);
    const bytes = joined(parts);
    if (hex(await chainId(bytes)) === name) return bytes;
    this.#chains.delete(name);
    return null;
  }

  /** @param {{chain: string, count: number}} frame */
  #chain({ chain, count }) {
    const known = this.#chains.get(chain) ?? { count, parts: new Map() };
    // Put last: the one not seen for longest is the first to go.
    this.#chains.delete(chain);
    this.#chains.set(chain, known);
    if (this.#chains.size > CHAINS_MOST) this.#chains.delete([...this.#chains.keys()][0]);
    return known;
  }
}

/** @param {Uint8Array} id @param {number} index @param {number} count @param {Uint8Array} part */
function frameText(id, index, count, part) {
  const said = joined([id, twoBytes(index), twoBytes(count), part]);
  return `DRAWBAG${VERSION}/${base45Write(joined([said, crcBytes(said)]))}`;
}

/** @param {string} text */
function frameRead(text) {
  const bytes = base45Read(text);
  if (!bytes || bytes.length <= HEAD_BYTES + CRC_BYTES) return null;
  const said = bytes.subarray(0, -CRC_BYTES);
  if (hex(bytes.subarray(-CRC_BYTES)) !== hex(crcBytes(said))) return null;
  const [index, count] = [said[16] * 256 + said[17], said[18] * 256 + said[19]];
  if (index >= count || count > PARTS_MOST) return null;
  return { chain: hex(said.subarray(0, 16)), index, count, part: said.subarray(HEAD_BYTES) };
}

/** @param {Uint8Array} bytes */
async function chainId(bytes) {
  const sum = await crypto.subtle.digest("SHA-256", Uint8Array.from(bytes));
  return new Uint8Array(sum).subarray(0, 16);
}

/** CRC-32 as of ISO-HDLC, zlib and PNG (ISO/IEC 15948, annex D). @param {Uint8Array} bytes */
export function crc32(bytes) {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return ~crc >>> 0;
}

/** @param {Uint8Array} bytes */
function crcBytes(bytes) {
  const crc = crc32(bytes);
  return Uint8Array.of(crc >>> 24, crc >>> 16, crc >>> 8, crc);
}

/** @param {number} number */
const twoBytes = (number) => Uint8Array.of(number >> 8, number);

/** @param {Uint8Array[]} parts */
function joined(parts) {
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}

/** @param {Uint8Array} bytes */
const hex = (bytes) => Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
