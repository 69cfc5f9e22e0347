import assert from "node:assert/strict";
import { test } from "node:test";
import { isTyped, keyPress, nothingTyped, weightTyped } from "../../web/bank/shell/keypad.js";
import { weightText } from "../../web/bank/shell/weights.js";

const type = (unit, keys) => keys.reduce(keyPress, nothingTyped(unit));
const typed = (unit, keys) => weightTyped(type(unit, keys));

test("nothing typed is no weight, and a nought is a blank", () => {
  for (const unit of ["g", "dr"]) {
    assert.equal(typed(unit, []), null);
    assert.equal(typed(unit, ["0"]), 0);
  }
});

test("grams are typed as grams and shown as kilograms", () => {
  assert.equal(typed("g", ["4", "2", "5", "0"]), 4250);
  assert.equal(typed("g", ["0", "0", "7"]), 7);
  assert.equal(typed("g", ["5", "00"]), 500);
  assert.equal(weightText(4250, "g"), "4.250 kg");
  assert.equal(weightText(7, "g"), "0.007 kg");
});

test("the last digit can be taken back, and everything cleared", () => {
  assert.equal(typed("g", ["4", "2", "back"]), 4);
  assert.equal(typed("g", ["4", "back"]), null);
  assert.equal(typed("g", ["4", "2", "clear"]), null);
  assert.equal(typed("dr", ["9", "oz", "6", "clear"]), null);
});

test("no more is taken than the scales can show", () => {
  assert.equal(typed("g", ["1", "2", "3", "4", "5", "6", "7", "8"]), 1_234_567);
  assert.equal(typed("g", ["9", "9", "9", "9", "9", "9", "9"]), null);
});

test("pounds, ounces and drams fill their boxes", () => {
  // 9 lb 6 oz 8 dr = (9 × 16 + 6) × 16 + 8
  assert.equal(typed("dr", ["9", "oz", "6", "dr", "8"]), 2408);
  assert.equal(weightText(2408, "dr"), "9 lb 6 oz 8 dr");
});

test("a digit that would make sixteen ounces begins the drams", () => {
  assert.equal(typed("dr", ["oz", "1", "5"]), 15 * 16);
  assert.equal(typed("dr", ["oz", "6", "3"]), 6 * 16 + 3);
  assert.equal(typed("dr", ["dr", "1", "6"]), 1);
});

test("taking back in an empty box goes to the one before", () => {
  const state = type("dr", ["9", "oz", "back"]);
  assert.equal(state.active, "lb");
  assert.equal(weightTyped(keyPress(state, "back")), null);
});

test("what is more than the scales can say is typed, but is no weight", () => {
  for (const state of [type("g", [..."2000001"]), type("dr", ["7", "8", "1", "3"])]) {
    assert.equal(isTyped(state), true);
    assert.equal(weightTyped(state), null);
  }
  assert.equal(isTyped(type("g", [])), false);
  assert.equal(weightTyped(type("g", [..."2000000"])), 2_000_000);
});
