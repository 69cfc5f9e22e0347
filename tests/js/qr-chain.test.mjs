// Bytes passed on as a chain of codes: any order, repeats and gaps, and nothing wrong taken in.
import assert from "node:assert/strict";
import { randomBytes } from "node:crypto";
import { test } from "node:test";
import { crc32 as zlibCrc32 } from "node:zlib";
import { base45Read, base45Write } from "../../web/bank/shell/base45.js";
import { ChainReader, PARTS_MOST, PART_BYTES, chainFits, chainMake, crc32 } from "../../web/bank/shell/qr-chain.js";
import { qrOf } from "../../web/bank/shell/qr-draw.js";
import { jsQR } from "../../web/bank/shell/vendor/jsqr.js";

const ascii = (text) => new TextEncoder().encode(text);
const some = (length) => new Uint8Array(randomBytes(length));
const shuffled = (list) => list.map((it) => [Math.random(), it]).sort(([a], [b]) => a - b).map(([, it]) => it);

/** Read them all; the bytes of the last chain seen. */
async function read(frames, reader = new ChainReader()) {
  const last = frames.map((text) => reader.take(text)).findLast((taken) => taken.kind === "part");
  return last && reader.whole(last.chain);
}

test("base 45 is that of RFC 9285, section 4.3 and 4.4", () => {
  for (const [said, text] of [["AB", "BB8"], ["Hello!!", "%69 VD92EX0"], ["base-45", "UJCLQE7W581"], ["ietf!", "QED8WEX0"]]) {
    assert.equal(base45Write(ascii(said)), text);
    assert.deepEqual(base45Read(text), ascii(said));
  }
});

test("what no bytes are written as in base 45 is refused (RFC 9285, section 6)", () => {
  // One letter left over, a letter that is none, 65536 in three letters, 256 in two.
  for (const text of ["BB8B", "bb8", "GGW", ":::", "V5"]) assert.equal(base45Read(text), null);
  assert.deepEqual(base45Read("FGW"), Uint8Array.of(255, 255));
});

test("the sum of a part is zlib's", () => {
  for (const bytes of [ascii(""), ascii("123456789"), some(300)]) assert.equal(crc32(bytes), zlibCrc32(bytes));
});

test("any bytes come out as they went in, in any order and with repeats", async () => {
  for (const length of [1, PART_BYTES, PART_BYTES + 1, 5_000, PART_BYTES * 40]) {
    const bytes = some(length);
    const frames = await chainMake(bytes);
    assert.equal(frames.length, Math.ceil(length / PART_BYTES));
    assert.deepEqual(await read(shuffled([...frames, ...frames, ...frames])), bytes);
  }
});

test("with a gap nothing comes out, and the missing part alone fills it", async () => {
  const bytes = some(2_000);
  const frames = await chainMake(bytes);
  const reader = new ChainReader();
  assert.equal(await read(frames.filter((_, n) => n !== 3), reader), null);
  const { kind, fresh, have, count, chain } = reader.take(frames[3]);
  assert.deepEqual([kind, fresh, have, count], ["part", true, frames.length, frames.length]);
  assert.deepEqual(await reader.whole(chain), bytes);
});

test("a repeat is told from a fresh part", async () => {
  const frames = await chainMake(some(1_000));
  const reader = new ChainReader();
  assert.equal(reader.take(frames[1]).fresh, true);
  assert.deepEqual([reader.take(frames[1]).fresh, reader.take(frames[1]).have], [false, 1]);
});

test("parts of two chains read at once are never mixed", async () => {
  const [one, two] = [some(1_500), some(1_500)];
  const [framesOne, framesTwo] = [await chainMake(one), await chainMake(two)];
  const mixed = framesOne.flatMap((text, n) => [text, framesTwo[n]]);
  const reader = new ChainReader();
  assert.deepEqual(await read(mixed, reader), two);
  assert.deepEqual(await reader.whole(reader.take(framesOne[0]).chain), one);
});

test("a changed letter is damage at once, wherever it stands", async () => {
  const [frame] = await chainMake(some(200));
  const start = "DRAWBAG1/".length;
  for (let at = start; at < frame.length; at += 1) {
    const other = frame[at] === "0" ? "1" : "0";
    const changed = frame.slice(0, at) + other + frame.slice(at + 1);
    assert.equal(new ChainReader().take(changed).kind, "damaged", `letter ${at}`);
  }
});

test("a part that is not of the chain it names spoils no bytes: all of them are asked for again", async () => {
  const bytes = some(900);
  const frames = await chainMake(bytes);
  // Another's bytes under this chain's name, with a right sum of their own.
  const forged = base45Read(frames[1].slice("DRAWBAG1/".length));
  forged[30] ^= 1;
  const sum = crc32(forged.subarray(0, -4));
  new DataView(forged.buffer).setUint32(forged.length - 4, sum);
  const reader = new ChainReader();
  const wrong = frames.with(1, `DRAWBAG1/${base45Write(forged)}`);
  assert.equal(await read(wrong, reader), null);
  assert.equal(reader.take(frames[0]).have, 1);
  assert.deepEqual(await read(frames, reader), bytes);
});

test("another's code, a newer version, a part beyond the last and too many parts are told apart", async () => {
  const reader = new ChainReader();
  assert.deepEqual(reader.take("https://example.org/"), { kind: "other" });
  assert.deepEqual(reader.take("DRAWBAG2/0000"), { kind: "newer" });
  const framed = (index, count) => {
    const said = Uint8Array.of(...some(16), index >> 8, index & 255, count >> 8, count & 255, 7);
    const bytes = new Uint8Array(said.length + 4);
    bytes.set(said);
    new DataView(bytes.buffer).setUint32(said.length, zlibCrc32(said));
    return `DRAWBAG1/${base45Write(bytes)}`;
  };
  assert.equal(reader.take(framed(2, 3)).kind, "part");
  assert.deepEqual(reader.take(framed(3, 3)), { kind: "damaged" });
  assert.deepEqual(reader.take(framed(0, 0)), { kind: "damaged" });
  assert.deepEqual(reader.take(framed(0, PARTS_MOST + 1)), { kind: "damaged" });
});

test("what does not fit is said before it is drawn", async () => {
  assert.equal(chainFits(new Uint8Array(PART_BYTES * PARTS_MOST)), true);
  assert.equal(chainFits(new Uint8Array(PART_BYTES * PARTS_MOST + 1)), false);
  assert.equal(chainFits(new Uint8Array(0)), false);
  await assert.rejects(chainMake(new Uint8Array(0)), RangeError);
});

test("many chains begun push out the one not seen for longest, and no memory without end", async () => {
  const reader = new ChainReader();
  const begun = await Promise.all(Array.from({ length: 6 }, () => chainMake(some(500))));
  for (const [first] of begun) reader.take(first);
  assert.equal(reader.take(begun[0][1]).have, 1);
  assert.equal(reader.take(begun[5][1]).have, 2);
});

test("each code drawn is read by a decoder of another hand, small enough for a phone's screen", async () => {
  const bytes = some(3_000);
  const said = (await chainMake(bytes)).map((text) => {
    const code = qrOf(text);
    // Version 10 of ISO/IEC 18004 has 57 modules a side.
    assert.ok(code.size <= 57, String(code.size));
    return seen(code);
  });
  assert.deepEqual(await read(said), bytes);
});

/** What the decoder reads off the drawn modules, four pixels each in a white border. */
function seen(code) {
  const [scale, quiet] = [4, 4];
  const side = (code.size + 2 * quiet) * scale;
  const pixels = new Uint8ClampedArray(side * side * 4).fill(255);
  for (let y = 0; y < side; y += 1) {
    for (let x = 0; x < side; x += 1) {
      if (!code.get(Math.floor(x / scale) - quiet, Math.floor(y / scale) - quiet)) continue;
      pixels.fill(0, (y * side + x) * 4, (y * side + x) * 4 + 3);
    }
  }
  return jsQR(pixels, side, side)?.data;
}
