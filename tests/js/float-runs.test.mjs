// The flow at a peg by float runs.
import assert from "node:assert/strict";
import { test } from "node:test";
import { flowOf, metresText, runOf, speedOf } from "../../web/bank/shell/float-runs.js";

test("ten metres in 14.2 seconds is 0.70 metres a second", () => {
  assert.equal(speedOf({ distance_cm: 1000, ms: 14_200 }), 704);
  assert.equal(metresText(704), "0.70");
});

test("several runs give their mean and how far apart they are", () => {
  const runs = [12_500, 10_000, 20_000].map((ms) => ({ distance_cm: 1000, ms }));
  // 800, 1,000 and 500 mm/s
  assert.deepEqual(flowOf(runs), { many: 3, mean: 767, least: 500, most: 1000 });
  assert.equal(flowOf([]), null);
});

test("a double tap and a forgotten watch are no runs", () => {
  assert.deepEqual(runOf(1000, 14_200.4), { distance_cm: 1000, ms: 14_200 });
  assert.equal(runOf(1000, 120), null);
  assert.equal(runOf(1000, 3_600_000), null);
  assert.equal(runOf(0, 5_000), null);
});
