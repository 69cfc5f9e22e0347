import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { placementOf, speedTimed } from "../../web/bank/shell/reckon/placement.js";

const CASES = JSON.parse(readFileSync(new URL("../cases/placement.json", import.meta.url), "utf8"));

/** The request of the API in the phone's own shape. */
function asked(input) {
  const run = input.float_run;
  const swim = {
    depth: input.depth_m,
    speed: run ? speedTimed(run.distance_m, [run.seconds].flat()).mean : input.surface_speed_m_s,
    exponent: input.profile_exponent ?? 6,
    celsius: input.water_temp_c,
    fishDepth: input.fish_depth_m ?? input.depth_m,
  };
  const feeds = input.feeds.map((feed) => {
    if (feed.shape) {
      const { name, shape, diameter_m: diameter, density_kg_m3: density } = feed;
      return { name, shape, diameter, density };
    }
    const jar = feed.jar_test;
    return {
      name: feed.name,
      sink: jar ? speedTimed(jar.depth_m, [jar.seconds].flat()).mean : feed.sink_speed_m_s,
    };
  });
  return placementOf(swim, input.rig_settles_m, feeds);
}

function near(value, expected, what) {
  const apart = Math.abs(value - expected) / Math.max(1e-12, Math.abs(expected));
  assert.ok(apart <= 1e-6, `${what}: ${value} for ${expected}`);
}

for (const { why, input, output } of CASES.filter((each) => each.output)) {
  test(`the phone has the server's figures: ${why}`, () => {
    const placed = asked(input);
    assert.deepEqual(placed.map((feed) => feed.name), output.feeds.map((feed) => feed.name));
    placed.forEach((feed, n) => {
      const said = output.feeds[n];
      near(feed.sinkSpeed, said.sink_speed_m_s, "sink speed");
      near(feed.seconds, said.sink_s, "seconds");
      near(feed.drift, said.drift_m, "drift");
      near(feed.throwAt, said.throw_m, "throw");
    });
  });
}

test("a feed's path begins where it goes in and ends at the fish, as far down as it drifts", () => {
  for (const { input } of CASES.filter((each) => each.output)) {
    for (const feed of asked(input)) {
      const fish = input.fish_depth_m ?? input.depth_m;
      assert.deepEqual(feed.path[0], [0, 0]);
      near(feed.path.at(-1)[0], feed.drift, "the path's end");
      near(feed.path.at(-1)[1], fish, "the path's depth");
      const downs = feed.path.map(([, down]) => down);
      assert.deepEqual(downs, [...downs].sort((a, b) => a - b));
    }
  }
});

test("the spread of several tries is that of a sample, and one try has none", () => {
  near(speedTimed(5, [10, 20]).sd, 0.25 / Math.SQRT2, "spread");
  assert.equal(speedTimed(5, [10]).sd, 0);
});
