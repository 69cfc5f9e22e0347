// What the phone says of amounts and stages.
import assert from "node:assert/strict";
import { test } from "node:test";
import { besideText } from "../../web/bank/shell/measures.js";
import { planWords as words } from "../../web/bank/shell/words-plan.js";
import { amountText, amountUpText } from "../../web/bank/shell/words.js";

test("what is handed out is said to two places, rounded up as on the desk", () => {
  assert.equal(amountUpText("0.9331", "pint"), "0.94 pints");
  assert.equal(amountUpText("1.0831", "pint"), "1.09 pints");
  assert.equal(amountUpText("0.99001", "pint"), "1 pint");
  assert.equal(amountUpText("1.2500", "L"), "1.25 L");
  assert.equal(amountUpText("4", "L"), "4 L");
  assert.equal(amountUpText("250", "each"), "250");
});

test("one pint is a pint and any other amount is in pints; a typed amount keeps its places", () => {
  assert.equal(amountText("1", "pint"), "1 pint");
  assert.equal(amountText("0.125", "pint"), "0.125 pints");
});

test("balls are loaded only where something goes into them, and a rhythm is said as every", () => {
  assert.equal(words.stageBalls(3, 80, "base", 0), "3 balls of 80 mm from the mix “base”");
  assert.equal(words.stageBalls(1, 60, "base", 2), "1 ball of 60 mm from the mix “base”, loaded with:");
  assert.equal(words.everyText(240), "every 4 minutes");
  assert.equal(words.everyText(60), "every minute");
  assert.equal(words.everyText(90), "every 90 seconds");
});

test("the other system's measure stands beside an amount for who chose so, by the legal sizes", () => {
  const cases = [
    [2, "pint", "metric", " (1.14 L)"], [1, "lb", "metric", " (454 g)"], [3, "lb", "metric", " (1.36 kg)"],
    [1, "L", "uk", " (1.76 pt)"], [250, "g", "uk", " (8.8 oz)"], [1, "kg", "uk", " (2.20 lb)"],
    [2.4, "m", "uk", " (7.9 ft)"], [1, "L", "metric", ""], [1, "pint", "uk", ""],
    [2, "pint", "written", ""], [3, "each", "metric", ""], [1, "handful", "metric", ""],
  ];
  for (const [amount, unit, want, said] of cases) assert.equal(besideText(amount, unit, want), said);
});
