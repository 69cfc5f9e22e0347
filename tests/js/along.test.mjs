// How the pegs stand as far as a phone knows, and who is weighed next.
import assert from "node:assert/strict";
import { test } from "node:test";
import { nextAlong, pegStand } from "../../web/bank/shell/along.js";
import { sectionStands } from "../../web/bank/shell/section-stands.js";

const leaf = (weight, more = {}) => ({ fact: { body: { weight, ...more } }, own: null });
const nets = (...weights) => new Map(weights.map((w, i) => [i + 1, [leaf(w)]]));
const PEGS = ["1", "2", "3", "4", "5"].map((number, i) =>
  ({ number, section: i < 3 ? "A" : "B", angler: number === "2" ? null : `Angler ${number}` }));
const MATCH = { net_cap: 5000, net_cap_rule: "cap", scored_by: "weight" };

test("several nets are summed, each counting no more than the cap", () => {
  const stand = pegStand(nets(6000, 1000), MATCH);
  assert.deepEqual([stand.weight, stand.counted, stand.disputed, stand.here], [7000, 6000, false, false]);
  assert.equal(pegStand(undefined, MATCH), null);
});

test("two weights for one net are disputed and the first stands", () => {
  const stand = pegStand(new Map([[1, [leaf(900), leaf(990)]]]), MATCH);
  assert.deepEqual([stand.weight, stand.disputed], [900, true]);
});

test("a section says who leads as far as is known, all of them where they are level", () => {
  const one = sectionStands({ pegs: PEGS, match: MATCH }, "A", new Map([["1", nets(900)]]));
  assert.deepEqual([one.drawn, one.weighed, one.best], [2, 1, 900]);
  assert.deepEqual(one.leaders.map((r) => r.peg.number), ["1"]);
  const level = sectionStands({ pegs: PEGS, match: MATCH }, "A", new Map([["1", nets(900)], ["3", nets(900)]]));
  assert.deepEqual(level.leaders.map((r) => r.peg.number), ["1", "3"]);
});

test("nobody leads while nobody has a fish, and where fish are scored points lead", () => {
  const blank = sectionStands({ pegs: PEGS, match: MATCH }, "A", new Map([["1", nets(0)]]));
  assert.deepEqual([blank.leaders, blank.weighed], [[], 1]);
  const match = { ...MATCH, scored_by: "fish", species: [{ name: "Roach", points: 2 }] };
  const weighed = new Map([
    ["1", new Map([[1, [leaf(100, { fish: [["Roach", 3]] })]]])],
    ["3", new Map([[1, [leaf(900, { fish: [["Roach", 1]] })]]])],
  ]);
  const by = sectionStands({ pegs: PEGS, match }, "A", weighed);
  assert.deepEqual([by.leaders.map((r) => r.peg.number), by.best], [["1"], 6]);
});

test("the next along is in the same section first, then along the bank, and never an empty peg", () => {
  const weighed = (...numbers) => new Map(numbers.map((n) => [n, true]));
  assert.equal(nextAlong(PEGS, weighed("1"), "1").number, "3");
  assert.equal(nextAlong(PEGS, weighed("3"), "3").number, "1");
  assert.equal(nextAlong(PEGS, weighed("1", "3"), "3").number, "4");
  assert.equal(nextAlong(PEGS, weighed("4", "5"), "5").number, "1");
  assert.equal(nextAlong(PEGS, weighed(), null).number, "1");
  assert.equal(nextAlong(PEGS, weighed("1", "3", "4", "5"), "5"), null);
});
