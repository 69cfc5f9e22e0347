// The digest of a bulletin as the page takes it again.
import assert from "node:assert/strict";
import test from "node:test";

import { digestOf, hexOf } from "../../web/static/js/bulletin.js";

test("bytes are written as two hex digits each", () => {
  assert.equal(hexOf(new Uint8Array([0, 9, 16, 255]).buffer), "000910ff");
});

test("the digest of 'abc' is the one of the standard's example", async () => {
  // FIPS 180-4, SHA-256 example of one block.
  const said = new TextEncoder().encode("abc");
  assert.equal(
    await digestOf(said.buffer),
    "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
  );
});
