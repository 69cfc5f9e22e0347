import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { landingOf, PARTICLES } from "../../web/bank/shell/reckon/landing.js";
import { placementOf, speedTimed } from "../../web/bank/shell/reckon/placement.js";
import { comparedAt, reachSpeed } from "../../web/bank/shell/reckon/reach.js";
import { swimRisen } from "../../web/bank/shell/reckon/rise.js";
import { throwPoint } from "../../web/bank/shell/reckon/rods.js";
import { waysFor } from "../../web/bank/shell/reckon/tighten.js";

const cases = (name) =>
  JSON.parse(readFileSync(new URL(`../cases/${name}.json`, import.meta.url), "utf8"));
const CASES = cases("placement");
const LANDINGS = cases("placement_landing");

/** The request of the API in the phone's own shape. */
function asked(input) {
  const run = input.float_run;
  const { line_m: line, rod_m: rod, flows_to: flowsTo } = input.angler ?? {};
  return {
    swim: {
      depth: input.depth_m,
      speed: run ? speedTimed(run.distance_m, [run.seconds].flat()).mean : input.surface_speed_m_s,
      exponent: input.profile_exponent ?? 6,
      celsius: input.water_temp_c,
      fishDepth: input.fish_depth_m ?? input.depth_m,
      wind: input.wind_m_s ?? 0,
      depthSd: input.depth_sd_m ?? 0,
      speedSd: input.surface_speed_sd_m_s ?? 0,
    },
    settles: input.rig_settles_m,
    angler: input.angler ? { line, rod, flowsTo } : null,
    feeds: input.feeds.map((feed) => {
      const { name, shape, diameter_m: diameter, density_kg_m3: density, jar_test: jar } = feed;
      const stray = { sinkSd: feed.sink_speed_sd_m_s ?? 0, throwSd: feed.throw_sd_m ?? 0 };
      if (shape) return { name, shape, diameter, density, ...stray };
      const timed = jar && speedTimed(jar.depth_m, [jar.seconds].flat());
      return timed ? { name, ...stray, sink: timed.mean, sinkSd: timed.sd }
        : { name, ...stray, sink: feed.sink_speed_m_s };
    }),
  };
}

function near(value, expected, what) {
  const apart = Math.abs(value - expected) / Math.max(1e-12, Math.abs(expected));
  assert.ok(apart <= 1e-6, `${what}: ${value} for ${expected}`);
}

function feedNear(placed, said, angler) {
  near(placed.sinkSpeed, said.sink_speed_m_s, "sink speed");
  near(placed.seconds, said.sink_s, "seconds");
  near(placed.drift, said.drift_m, "drift");
  near(placed.throwAt, said.throw_m, "throw");
  assert.equal(said.throw_point !== undefined, angler !== null);
  if (!angler) return;
  const point = throwPoint(placed.throwAt, angler);
  const names = {
    upstream: "upstream_m", across: "across_m", distance: "distance_m",
    rodsUpstream: "rods_upstream", rodsAcross: "rods_across", clock: "clock_h",
  };
  for (const [ours, theirs] of Object.entries(names)) near(point[ours], said.throw_point[theirs], theirs);
}

for (const { why, input, output } of CASES.filter((each) => each.output)) {
  test(`the phone has the server's figures: ${why}`, () => {
    const { swim, settles, feeds, angler } = asked(input);
    const placed = placementOf(swim, settles, feeds);
    assert.deepEqual(placed.map((feed) => feed.name), output.feeds.map((feed) => feed.name));
    placed.forEach((feed, n) => feedNear(feed, output.feeds[n], angler));
    if (input.swim_m) {
      feeds.forEach((feed, n) => {
        const reach = reachSpeed(feed, swim, input.swim_m);
        const said = output.feeds[n].reach_speed_m_s;
        if (said === null || said === 0) assert.equal(reach, said);
        else near(reach, said, "reach");
      });
    }
    if (output.risen) {
      const risen = swimRisen(swim, input.rise_m);
      near(risen.depth, output.risen.depth_m, "depth");
      near(risen.speed, output.risen.surface_speed_m_s, "speed");
      placementOf(risen, settles, feeds)
        .forEach((feed, n) => feedNear(feed, output.risen.feeds[n], angler));
    }
    for (const cell of output.compare ?? []) {
      const [loose, balls] = ["loose", "balls"].map((key) =>
        feeds.find((feed) => feed.name === input.compare[key]));
      const ours = comparedAt(loose, balls, swim, input.swim_m, cell.surface_speed_m_s, cell.depth_m);
      near(ours.loose, cell.loose_m, "loose");
      near(ours.balls, cell.balls_m, "balls");
      assert.equal(ours.use, cell.use);
    }
  });
}

/** Within twice the standard error of 2,000 by chance: of an outer twentieth 0.047 of the spread,
 * of a share √(p(1 − p)/2000). */
function landsNear(ours, said, what) {
  const apart = (one, other) => Math.abs(one - other) / Math.max(said.sd_m, 1e-9);
  for (const part of ["p5", "p10", "p90", "p95"]) {
    assert.ok(apart(ours[part], said[`${part}_m`]) <= 0.094, `${what}: ${part} ${ours[part]} for ${said[`${part}_m`]}`);
  }
  assert.ok(apart(ours.mean, said.mean_m) <= 0.01, `${what}: mean ${ours.mean} for ${said.mean_m}`);
  assert.ok(Math.abs(ours.sd / said.sd_m - 1) <= 0.02, `${what}: sd ${ours.sd} for ${said.sd_m}`);
  const share = said.within_half_m;
  const astray = 2 * Math.sqrt((share * (1 - share)) / PARTICLES);
  assert.ok(Math.abs(ours.near - share) <= astray, `${what}: near ${ours.near} for ${said.within_half_m}`);
}

for (const { why, input, output } of LANDINGS) {
  test(`the phone's even sample lies as the server's by chance, within what chance strays: ${why}`, () => {
    const all = asked(input);
    all.feeds.forEach((feed, n) => {
      landsNear(landingOf(feed, all.swim, all.settles), output.feeds[n].landing, feed.name);
    });
    if (!output.tighten) return;
    const ways = waysFor(all.feeds.find((feed) => feed.name === input.tighten), all);
    assert.deepEqual(
      ways.map(({ way, feed }) => [way, feed.name]), output.tighten.map(({ way, feed }) => [way, feed]));
    ways.forEach(({ way, feed, swim }, n) => {
      landsNear(landingOf(feed, swim, all.settles), output.tighten[n].landing, way);
    });
  });
}

test("a feed's path begins where it goes in and ends at the fish, as far down as it drifts", () => {
  for (const { input } of CASES.filter((each) => each.output)) {
    const { swim, settles, feeds } = asked(input);
    for (const feed of placementOf(swim, settles, feeds)) {
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
