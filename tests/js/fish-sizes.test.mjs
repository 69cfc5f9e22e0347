// Fish by size: what they usually weigh, and what the catch comes to at a guess.
import assert from "node:assert/strict";
import { test } from "node:test";
import { catchOf, paceNeeded, paceNow, sizesOwn } from "../../web/bank/shell/fish-pace.js";
import { gramsOf, inUnit, shortText, speciesOf, USUAL } from "../../web/bank/shell/fish-sizes.js";

// W = a·L^b, weight in grams on total length in cm, of the 159 fish of 1917; dace of the river Exe:
// log10 W = 3.1439 log10 L(mm) − 5.1193.
const fitted = (a, b) => (cm) => a * cm ** b;
const LAWS = {
  roach: [fitted(0.00657, 3.108151), [12, 18, 25]],
  perch: [fitted(0.006227, 3.162688), [12, 18, 25]],
  skimmer: [fitted(0.007141, 3.109319), [20, 27, 33]],
  bream: [fitted(0.007141, 3.109319), [38, 45, 52]],
  dace: [(cm) => 10 ** (3.1439 * Math.log10(cm * 10) - 5.1193), [11, 15, 19]],
};

test("the usual weights are those of the published laws, to the nearest five grams", () => {
  for (const [species, [law, lengths]] of Object.entries(LAWS)) {
    lengths.forEach((cm, i) => assert.ok(Math.abs(USUAL[species][i] - law(cm)) <= 3, `${species} ${cm}`));
  }
});

test("a match that scores fish names its species, one that does not has the usual ones", () => {
  const scored = { scored_by: "fish", species: [{ name: "Roach", points: 1 }, { name: "Barbel", points: 5 }] };
  assert.deepEqual(speciesOf(scored, {}), ["Roach", "Barbel", "other"]);
  assert.deepEqual(speciesOf({}, { tench: [1, 2, 3] }).slice(-3), ["gudgeon", "tench", "other"]);
});

test("one's own weights go before the usual ones, and a fish nobody weighed is unknown", () => {
  assert.deepEqual(gramsOf("Roach", {}), [15, 50, 145]);
  assert.deepEqual(gramsOf("roach", { roach: [20, null, 200] }), [20, null, 200]);
  assert.deepEqual(gramsOf("Barbel", {}), [null, null, null]);
});

test("only what differs from the usual is one's own, by whatever letters a match spells it", () => {
  const own = sizesOwn({ Roach: [15, 50, 145], dace: [20, 60, 110], other: [null, null, null], Tench: [null, 700, null] });
  assert.deepEqual(own, { dace: [20, 60, 110], tench: [null, 700, null] });
  assert.deepEqual(gramsOf("Tench", own), [null, 700, null]);
});

test("grams become whole drams where a match is weighed in pounds, and keys say them short", () => {
  assert.equal(inUnit(145, "g"), 145);
  // 145 g / 1.7718451953125 g = 81.8 dr
  assert.equal(inUnit(145, "dr"), 82);
  assert.equal(shortText(50, "g"), "50 g");
  assert.equal(shortText(1550, "g"), "1.55 kg");
  assert.equal(shortText(8, "dr"), "8 dr");
  assert.equal(shortText(82, "dr"), "5 oz");
  assert.equal(shortText(256 + 4 * 16, "dr"), "1 lb 4 oz");
  assert.equal(shortText(255, "dr"), "1 lb");
});

const caught = (minute, about, count = 1) => ({ minute, about, count });

test("the catch is summed at a guess and says how many fish the guess leaves out", () => {
  assert.deepEqual(catchOf([caught(1, 50), caught(2, null, 2), caught(3, 145)]), {
    fish: 4, about: 195, unknown: 2,
  });
  assert.deepEqual(catchOf([]), { fish: 0, about: 0, unknown: 0 });
});

test("the pace is that of the last hour, and of less while the match is young", () => {
  const fish = [caught(5, 100), caught(50, 200), caught(100, 300)];
  assert.equal(paceNow(fish, 9), null);
  assert.equal(paceNow(fish, 30), 200);
  assert.equal(paceNow(fish, 60), 300);
  assert.equal(paceNow(fish, 109), 500);
  assert.equal(paceNow(fish, 110), 300);
  assert.equal(paceNow(fish, 170), 0);
});

test("what is still needed an hour is nothing once it is there, and nobody knows once time is up", () => {
  assert.equal(paceNeeded(4000, 1000, 120), 1500);
  assert.equal(paceNeeded(4000, 4500, 60), 0);
  assert.equal(paceNeeded(4000, 1000, 0), null);
});
