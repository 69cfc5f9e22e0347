import assert from "node:assert/strict";
import { test } from "node:test";
import { uuid7 } from "../../web/bank/shell/uuid7.js";

test("an id has its time, version and variant where RFC 9562 puts them", () => {
  // The example of RFC 9562, appendix A.6.
  const random = () =>
    Uint8Array.from([0, 0, 0, 0, 0, 0, 0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f]);
  assert.equal(uuid7(0x017f22e279b0, random), "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
});

test("ten thousand ids of one moment all differ", () => {
  const ids = new Set(Array.from({ length: 10_000 }, () => uuid7(1_700_000_000_000)));
  assert.equal(ids.size, 10_000);
});

test("a clock set before 1970 still gives an id", () => {
  assert.match(uuid7(-5), /^00000000-0000-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
});
