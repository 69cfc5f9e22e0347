import assert from "node:assert/strict";
import { test } from "node:test";
import { planButtons } from "../../web/bank/shell/feed.js";
import { mixShort, restBegin, restGoOn, restOf, restStop } from "../../web/bank/shell/mixing.js";
import { amountText } from "../../web/bank/shell/words.js";

const NINE = Date.UTC(2026, 5, 20, 9);
const MINUTE = 60_000;

test("a rest counts down from where it began, whatever happened to the app meanwhile", () => {
  const row = restBegin(NINE);
  const ready = NINE + 25 * MINUTE;
  assert.deepEqual(restOf(25, row, NINE), { state: "rests", left: 25 * MINUTE, ready });
  assert.deepEqual(restOf(25, row, ready - 1), { state: "rests", left: 1, ready });
  assert.deepEqual(restOf(25, row, ready), { state: "rested", left: 0, ready });
  assert.equal(restOf(25, row, ready + 600 * MINUTE).state, "rested");
});

test("a phone's clock put back shows the whole rest and no more", () => {
  assert.equal(restOf(25, restBegin(NINE), NINE - 90 * MINUTE).left, 25 * MINUTE);
});

test("a mix that needs no rest is rested at once", () => {
  assert.equal(restOf(0, restBegin(NINE), NINE).state, "rested");
});

test("nothing has begun before the button is pressed", () => {
  assert.equal(restOf(25, undefined, NINE).state, "none");
  assert.equal(restOf(25, restStop(restBegin(NINE)), NINE).state, "none");
});

test("a clock stopped by mistake goes on from where it began", () => {
  const stopped = restStop(restBegin(NINE));
  assert.deepEqual(stopped, { from: null, was: NINE });
  assert.deepEqual(restGoOn(stopped), { from: NINE, was: null });
});

test("a mix below zero says what is missing, one that lasts or cannot be measured does not", () => {
  assert.equal(mixShort({ left_l: "-1.25" }), "1.25");
  assert.equal(mixShort({ left_l: "0" }), null);
  assert.equal(mixShort({ left_l: null }), null);
});

test("what is planned for the hook gets no button to feed it", () => {
  const feeds = [{ bait: "maggot", name: "Maggot", amount: "0.25", unit: "pint" }];
  const plan = { stages: [{ kind: "hook", line: "", feeds }, { kind: "feed", line: "long", feeds }] };
  assert.deepEqual(planButtons(plan).map((b) => [b.bait, b.stage]), [["maggot", 1]]);
});

test("one bag is a bag and two are bags; litres stay litres", () => {
  assert.equal(amountText("1", "bag"), "1 bag");
  assert.equal(amountText("2.50", "bag"), "2.5 bags");
  assert.equal(amountText("2", "L"), "2 L");
  assert.equal(amountText("3", "pouch"), "3 pouches");
});
