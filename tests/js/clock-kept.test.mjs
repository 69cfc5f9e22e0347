// By how much the phone's clock is off, through a start without signal.
import assert from "node:assert/strict";
import { test } from "node:test";

globalThis.document = { cookie: "" };
const net = await import("../../web/bank/shell/net.js");
const { clockKeep, clockTake } = await import("../../web/bank/shell/clock-kept.js");
const MINUTE = 60_000;

/** A disk of one row a key. */
function disk(rows = {}) {
  return {
    rows,
    metaGet: async (key) => rows[key],
    metaPut: async (key, values) => { rows[key] = { ...values, key }; },
  };
}
const never = {
  metaGet: () => Promise.reject(new Error("gone")),
  metaPut: () => Promise.reject(new Error("gone")),
};

test("a start without signal goes on with what was last measured", async () => {
  const store = disk({ clock: { offset: 7 * MINUTE, at: Date.now() - 60 * MINUTE } });
  await clockTake(store);
  assert.equal(net.clockOffset(), 7 * MINUTE);
  const before = structuredClone(store.rows);
  await clockKeep(store);
  assert.deepEqual(store.rows, before); // nothing was measured since
});

test("a clock set back since it was measured is taken for nothing known", async () => {
  net.clockRecall(0);
  await clockTake(disk({ clock: { offset: 7 * MINUTE, at: Date.now() + MINUTE } }));
  assert.equal(net.clockOffset(), 0);
});

test("a disk that does not answer leaves the clock as it is", async () => {
  await clockTake(never);
  await clockTake(disk());
  assert.equal(net.clockOffset(), 0);
});

test("what the server's answer measures is kept, and outdoes what was kept before", async () => {
  const server = new Date(Date.now() + 90 * MINUTE);
  globalThis.fetch = async () => new Response('{"protocol": 1}', {
    headers: { "Content-Type": "application/json", Date: server.toUTCString() },
  });
  await net.meGet();
  const measured = net.clockOffset();
  assert.ok(Math.abs(measured - 90 * MINUTE) < 2_000);
  const store = disk({ clock: { offset: 1, at: 1 } });
  await clockTake(store);
  assert.equal(net.clockOffset(), measured);
  await clockKeep(store);
  assert.equal(store.rows.clock.offset, measured);
  assert.ok(Math.abs(store.rows.clock.at - Date.now()) < 5_000);
  await clockKeep(never);
});
