// @ts-check
/**
 * A UUID of version 7 (RFC 9562, section 5.7): 48 bits of time, the rest random. Nobody reads
 * the time back: it only keeps new rows together in an index.
 * @param {number} [now] milliseconds since 1970
 * @param {(bytes: Uint8Array<ArrayBuffer>) => Uint8Array} [random]
 * @returns {string}
 */
export function uuid7(now = Date.now(), random = (bytes) => crypto.getRandomValues(bytes)) {
  const bytes = random(new Uint8Array(16));
  let rest = Math.max(0, Math.floor(now));
  for (let i = 5; i >= 0; i--) {
    bytes[i] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes[6] = 0x70 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const hex = [...bytes].map((b) => b.toString(16).padStart(2, "0")).join("");
  return [8, 12, 16, 20].reduce((id, at, i) => `${id.slice(0, at + i)}-${id.slice(at + i)}`, hex);
}
