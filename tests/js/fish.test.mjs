import assert from "node:assert/strict";
import { test } from "node:test";
import {
  fishAgree, fishMany, fishPoints, fishPress, fishStart, netCounted, speciesScored,
} from "../../web/bank/shell/fish.js";

const SPECIES = [{ name: "Roach", points: 1 }, { name: "Perch", points: 3 }];

test("a match that scores weight, or an older package, asks for no fish", () => {
  assert.deepEqual(speciesScored({ scored_by: "weight", species: SPECIES }), []);
  assert.deepEqual(speciesScored({}), []);
  assert.deepEqual(speciesScored({ scored_by: "fish", species: SPECIES }), SPECIES);
});

test("counting begins with what was kept before and never falls below nought", () => {
  let fish = fishStart(SPECIES, [["Perch", 2]]);
  assert.deepEqual(fish, [["Roach", 0], ["Perch", 2]]);
  fish = fishPress(fishPress(fishPress(fish, "Roach", 1), "Perch", -1), "Roach", -5);
  assert.deepEqual(fish, [["Roach", 0], ["Perch", 1]]);
  assert.equal(fishPoints(fish, SPECIES), 3);
  assert.equal(fishMany(fish), 1);
});

test("a net over the cap counts the cap or nothing, one on it counts in full", () => {
  assert.equal(netCounted(22_680, { net_cap: 22_680, net_cap_rule: "nothing" }), 22_680);
  assert.equal(netCounted(22_681, { net_cap: 22_680, net_cap_rule: "cap" }), 22_680);
  assert.equal(netCounted(22_681, { net_cap: 22_680, net_cap_rule: "nothing" }), 0);
  assert.equal(netCounted(99_999, { net_cap: null }), 99_999);
  assert.equal(netCounted(99_999, {}), 99_999);
});

test("counts agree in any order, noughts said or not, and a missing one says nothing", () => {
  assert.equal(fishAgree([["Roach", 1], ["Perch", 0]], [["Roach", 1]]), true);
  assert.equal(fishAgree([["Roach", 1], ["Perch", 2]], [["Perch", 2], ["Roach", 1]]), true);
  assert.equal(fishAgree([["Roach", 1]], [["Roach", 2]]), false);
  assert.equal(fishAgree([["Roach", 1]], null), true);
});
