// @ts-check
/**
 * What one phone hands to another, as few bytes. The first says how the rest is packed: 0 as it is,
 * 1 deflated (RFC 1951). The rest is JSON in UTF-8:
 *
 * `{"format": "drawbag-carried", "version": 1, "match": "12", "by": [giver, …], "seen": [fact, …]}`
 *
 * A giver is a phone and its person, `{"person", "name", "device", "key", "facts"}`, each fact a row
 * of `FIELDS` and the phone's signature. `seen` are facts that the server gave out or took: they
 * are shown, never sent, and nobody signed them.
 * @typedef {import("./facts.js").Fact} Fact
 * @typedef {{person: string, name: string, device: string, key: string, facts: any[][]}} Giver
 * @typedef {{match: string, by: Giver[], seen: any[]}} Bundle
 */
import { base64urlRead } from "./canonical.js";
import { carryWords as words } from "./words-carry.js";

const FORMAT = "drawbag-carried";
const VERSION = 1;
const FIELDS = /** @type {const} */ ([
  "id", "seq", "kind", "peg", "recorded_at", "clock_offset_ms", "supersedes", "body",
]);
const [PLAIN, DEFLATED] = [0, 1];
const BRACE = 0x7b;
export const FILE_MOST = 8 * 1024 * 1024;
export const PACKED_MOST = 512 * 1024;
export const UNPACKED_MOST = 2 * 1024 * 1024;
export const FACTS_MOST = 2_000;

/** A fact as a row of its bundle. @param {Fact} fact @param {string} signature */
export const factRow = (fact, signature) => [...FIELDS.map((field) => fact[field]), signature];

/**
 * The fact of such a row.
 * @param {any[]} row @param {string} match @param {string} device @returns {{fact: Fact, signature: any}}
 */
export function rowFact(row, match, device) {
  const fields = Object.fromEntries(FIELDS.map((field, i) => [field, row[i]]));
  return { fact: /** @type {any} */ ({ ...fields, match, device }), signature: row[FIELDS.length] };
}

/**
 * A bundle as bytes: one that says how they are packed, then JSON.
 * @param {Bundle} bundle @returns {Promise<Uint8Array>}
 */
export async function bundlePack(bundle) {
  const plain = new TextEncoder().encode(
    JSON.stringify({ format: FORMAT, version: VERSION, ...bundle }));
  if (typeof CompressionStream === "undefined") return marked(PLAIN, plain);
  const packed = new Blob([plain]).stream().pipeThrough(new CompressionStream("deflate-raw"));
  return marked(DEFLATED, new Uint8Array(await new Response(packed).arrayBuffer()));
}

/** @param {number} mark @param {Uint8Array} bytes */
function marked(mark, bytes) {
  const out = new Uint8Array(bytes.length + 1);
  out[0] = mark;
  out.set(bytes, 1);
  return out;
}

/**
 * The bundles in a file: it is one itself, or what a phone saved of its unsent facts holds some.
 * @param {Uint8Array} bytes
 * @returns {{all: Uint8Array[]} | {why: string}}
 */
export function bundlesIn(bytes) {
  if (bytes[0] !== BRACE) return { all: [bytes] };
  if (bytes.length > FILE_MOST) return { why: words.tooLarge };
  let file;
  try {
    file = JSON.parse(new TextDecoder().decode(bytes));
  } catch {
    return { why: words.notOurs };
  }
  if (!Array.isArray(file?.handed)) return { why: words.notOurs };
  const all = file.handed.map((/** @type {any} */ text) => base64urlRead(String(text)) ?? new Uint8Array());
  return all.length ? { all } : { why: words.unsigned };
}

/** What is in it, or why it is not taken, in words. @param {Uint8Array} bytes @returns {Promise<{bundle: Bundle} | {why: string}>} */
export async function bundleUnpack(bytes) {
  if (bytes.length > PACKED_MOST) return { why: words.tooLarge };
  if (bytes[0] !== PLAIN && bytes[0] !== DEFLATED) return { why: words.notOurs };
  if (bytes[0] === DEFLATED && typeof DecompressionStream === "undefined") return { why: words.packed };
  const plain = bytes[0] === PLAIN ? bytes.slice(1) : await inflate(bytes.slice(1));
  if (plain === null) return { why: words.notOurs };
  if (plain.length > UNPACKED_MOST) return { why: words.tooLarge };
  return bundleRead(new TextDecoder().decode(plain));
}

/** Never more than the bound and one piece, whatever it unpacks to. @param {Uint8Array<ArrayBuffer>} bytes */
async function inflate(bytes) {
  const pieces = [];
  let size = 0;
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  const reader = stream.getReader();
  try {
    for (;;) {
      const { done, value } = await reader.read();
      if (done || size > UNPACKED_MOST) break;
      pieces.push(value);
      size += value.length;
    }
  } catch {
    return null; // cut short, or never deflated
  }
  return new Uint8Array(await new Blob(pieces).arrayBuffer());
}

/** @param {string} text @returns {{bundle: Bundle} | {why: string}} */
function bundleRead(text) {
  let raw;
  try {
    raw = JSON.parse(text);
  } catch {
    return { why: words.notOurs };
  }
  if (raw?.format !== FORMAT) return { why: words.notOurs };
  if (raw.version !== VERSION) return { why: words.newer };
  const { match, by, seen } = raw;
  const shaped = typeof match === "string" && Array.isArray(by) && Array.isArray(seen) && by.every(giverShaped);
  if (!shaped) return { why: words.notOurs };
  const many = by.reduce((/** @type {number} */ n, /** @type {Giver} */ g) => n + g.facts.length, seen.length);
  return many > FACTS_MOST ? { why: words.tooLarge } : { bundle: { match, by, seen } };
}

/** @param {any} giver */
const giverShaped = (giver) => giver !== null && typeof giver === "object"
  && /^\d{1,19}$/.test(giver.person) && typeof giver.name === "string" && giver.name.length <= 200
  && [giver.device, giver.key].every((text) => typeof text === "string" && text.length <= 100)
  && Array.isArray(giver.facts) && giver.facts.every(Array.isArray);
