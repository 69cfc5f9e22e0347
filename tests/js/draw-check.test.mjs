// A draw worked out anew in the browser is the calculator's, on the cases both share.
import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import "../../web/static/js/draw-check.js";

const { drawWorkOut, sha256 } = globalThis.drawRecipe;
const hex = (message) => Buffer.from(sha256(message).buffer).toString("hex");
const cases = JSON.parse(readFileSync(new URL("../cases/draw.json", import.meta.url), "utf8"));

test("the hash is that of the standard", () => {
  // Source: FIPS 180-4 example values for SHA-256.
  const text = (words) => hex(new TextEncoder().encode(words));
  assert.equal(text("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  assert.equal(text(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
});

test("the hash of every length up to three blocks is the library's", () => {
  for (let n = 0; n < 192; n++) {
    const message = Uint8Array.from({ length: n }, (_, i) => (i * 37 + n) % 256);
    assert.equal(hex(message), createHash("sha256").update(message).digest("hex"));
  }
});

const drawn = cases.filter((c) => c.output);

test("there are cases to draw, some of which ask for an accessible peg", () => {
  assert.ok(drawn.length > 15);
  assert.ok(drawn.filter((c) => c.input.anglers.some((a) => a.needs_access)).length > 5);
});

for (const c of drawn) {
  test(`case: ${c.why}`, () => assert.deepEqual(drawWorkOut(c.input), c.output));
}
