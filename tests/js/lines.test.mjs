import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { lineBetter, linesCompared, linesSoFar } from "../../web/bank/shell/lines-catch.js";
import { bestShares, gammaBelow, linesOfCatch } from "../../web/bank/shell/reckon/lines.js";

const read = (name) => JSON.parse(readFileSync(new URL(`../cases/${name}`, import.meta.url), "utf8"));
const CASES = read("lines.json");

function near(value, expected, what) {
  const apart = Math.abs(value - expected) / Math.max(1e-12, Math.abs(expected));
  assert.ok(apart <= 1e-6, `${what}: ${value} for ${expected}`);
}

for (const { why, input, output } of CASES.filter((each) => each.output)) {
  test(`the phone has the server's figures: ${why}`, () => {
    const lines = input.lines.map((line) => ({
      name: line.name, minutes: Number(line.minutes), fish: line.fish, weight: line.weight_g,
    }));
    const prior = { fish: Number(input.prior.fish), minutes: Number(input.prior.minutes) };
    linesOfCatch(lines, prior).forEach((line, n) => {
      const said = output.lines[n];
      assert.equal(line.name, said.name);
      near(line.perHour, said.fish_per_hour, "fish an hour");
      line.perHour90.forEach((bound, k) => near(bound, said.fish_per_hour_90[k], "its interval"));
      near(line.best, said.best, "best");
      if (said.grams_per_hour === null) assert.equal(line.weightPerHour, null);
      else near(line.weightPerHour, said.grams_per_hour, "weight an hour");
    });
  });
}

test("the incomplete gamma function has its closed forms", () => {
  // P(1, x) = 1 - exp(-x); P(2, x) = 1 - (1 + x) exp(-x); P(1/2, x) = erf(sqrt x): DLMF 8.4.
  for (const x of [1e-9, 0.3, 1, 4.5, 30]) {
    near(gammaBelow(1, x), -Math.expm1(-x), `P(1, ${x})`);
    near(gammaBelow(2, x), x < 1e-3 ? (x * x) / 2 : 1 - (1 + x) * Math.exp(-x), `P(2, ${x})`);
  }
  near(gammaBelow(0.5, 0.25), 0.5204998778130465, "erf(0.5)");
  near(gammaBelow(1e5, 1e5), 0.5004205221103651, "P(100000, 100000)");
});

test("shares add up, whatever the lines", () => {
  const rates = [[0.1, 40], [2, 3], [900, 0.01], [50, 0.2]].map(([shape, scale]) => ({ shape, scale }));
  near(bestShares(rates).reduce((sum, share) => sum + share, 0), 1, "sum");
});

test("a line is fished from its switch or its first fish on, and brings what is noted on it", () => {
  const caught = [
    { minute: 5, line: "long", count: 1, about: 100 },
    { minute: 50, line: "short", count: 2, about: null },
    { minute: 70, line: "short", count: 1, about: 40 },
    { minute: 200, line: "short", count: 9, about: 900 },
  ];
  const lines = linesSoFar({ first: "long", switches: [{ minute: 40, line: "short" }], caught, minute: 90 });
  assert.deepEqual(lines, [
    { name: "long", minutes: 40, fish: 1, weight: 100 },
    { name: "short", minutes: 50, fish: 3, weight: 180 },
  ]);
});

test("lines are compared once two were fished for ten minutes and one brought a fish", () => {
  const day = (minute, count) => ({
    first: "long", switches: [{ minute: 30, line: "short" }], minute,
    caught: count ? [{ minute: 20, line: "long", count, about: 50 }] : [],
  });
  assert.equal(linesCompared(day(39, 1)), null);
  assert.equal(linesCompared(day(60, 0)), null);
  assert.deepEqual(linesCompared(day(60, 1)).map((line) => line.name), ["long", "short"]);
});

for (const { why, better, best, minutes, ...day } of read("line_better.json")) {
  test(`the phone calls a line the better one as the review does: ${why}`, () => {
    const lines = linesCompared({ ...day, minute: minutes });
    for (const line of lines) near(Math.round(line.best * 1e6) / 1e6, best[line.name], line.name);
    assert.equal(lineBetter(lines)?.name ?? null, better);
  });
}
