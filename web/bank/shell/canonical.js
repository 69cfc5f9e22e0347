// @ts-check
/**
 * What is signed of a fact: the same bytes as `matches/reckon/canonical.py` and `carried.py` make.
 * `tests/cases/carried.json` holds both to them.
 */
const LABEL = "drawbag carried fact 1";
const utf8 = new TextEncoder();

/**
 * JSON in its one form: keys in the order of their code points, no spaces, nothing escaped that
 * need not be. Whole numbers only: two languages write others in two ways.
 * @param {any} value
 * @returns {string}
 */
export function canonicalJson(value) {
  if (typeof value === "number" && !Number.isSafeInteger(value)) {
    throw new RangeError(`${value} has more than one form.`);
  }
  if (value === null || typeof value !== "object") return JSON.stringify(value);
  if (Array.isArray(value)) return `[${value.map(canonicalJson).join(",")}]`;
  const keys = Object.keys(value).filter((key) => value[key] !== undefined).sort(byCodePoint);
  return `{${keys.map((key) => `${JSON.stringify(key)}:${canonicalJson(value[key])}`).join(",")}}`;
}

/** @param {string} a @param {string} b */
function byCodePoint(a, b) {
  const [x, y] = [Array.from(a), Array.from(b)];
  const at = x.findIndex((character, i) => character !== y[i]);
  if (at < 0) return x.length - y.length;
  return at >= y.length ? 1 : Number(x[at].codePointAt(0)) - Number(y[at].codePointAt(0));
}

/** A fact's own fields as the server writes them down. @param {import("./facts.js").Fact} fact */
export function factOwn(fact) {
  return {
    id: fact.id.toLowerCase(),
    device: fact.device.toLowerCase(),
    seq: fact.seq,
    kind: fact.kind,
    match: String(fact.match),
    peg: fact.peg ?? "",
    recorded_at: fact.recorded_at,
    clock_offset_ms: fact.clock_offset_ms,
    supersedes: fact.supersedes?.toLowerCase() ?? null,
    body: fact.body,
  };
}

/**
 * The bytes a phone signs: five lines in ASCII, with a line feed between each two. The label, the
 * fact's id, its device's, the number of the person whose it is, and the SHA-256 of its canonical
 * JSON in hex. Throws RangeError for a number that has more than one form.
 * @param {import("./facts.js").Fact} fact
 * @param {string} person
 */
export async function carriedMessage(fact, person) {
  const own = factOwn(fact);
  const digest = await sha256(canonicalJson(own));
  return utf8.encode([LABEL, own.id, own.device, person, digest].join("\n"));
}

/** @param {string} text */
async function sha256(text) {
  const digest = await crypto.subtle.digest("SHA-256", utf8.encode(text));
  return Array.from(new Uint8Array(digest), (b) => b.toString(16).padStart(2, "0")).join("");
}

/** Base64url without padding (RFC 4648, section 5). @param {Uint8Array} bytes */
export function base64urlWrite(bytes) {
  const binary = Array.from(bytes, (b) => String.fromCharCode(b)).join("");
  return btoa(binary).replaceAll("+", "-").replaceAll("/", "_").replace(/=+$/, "");
}

/** The bytes, or null for what is none. @param {string} text @returns {Uint8Array<ArrayBuffer> | null} */
export function base64urlRead(text) {
  if (!/^[\w-]*$/.test(text)) return null;
  try {
    const binary = atob(text.replaceAll("-", "+").replaceAll("_", "/"));
    return Uint8Array.from(binary, (c) => c.charCodeAt(0));
  } catch {
    return null;
  }
}
