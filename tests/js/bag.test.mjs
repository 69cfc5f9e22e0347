// When the bag fetches: a phone and a server of a few lines.
import assert from "node:assert/strict";
import { createRequire } from "node:module";
import { test } from "node:test";

const need = createRequire(new URL("../../web/bank/package.json", import.meta.url));
const { IDBFactory, IDBKeyRange } = need("fake-indexeddb");
Object.assign(globalThis, { indexedDB: new IDBFactory(), IDBKeyRange });
Object.assign(globalThis, { document: { cookie: "" }, navigator: {} });
Object.assign(globalThis, { addEventListener: () => {}, BroadcastChannel: class { postMessage() {} } });

const { bag } = await import("../../web/bank/shell/bag.js");

const LONG_AGO = "2001-05-28"; // fetched only where it is open
const BODIES = {
  "/api/v1/me": { person: { id: "7", name: "Maud Ferris" }, clubs: [], matches: [{ id: "12", date: LONG_AGO }] },
  "/api/v1/sync/match/12": { match: { id: "12" } },
  "/api/v1/sync/facts": { facts: [], next: "n1", more: false, epoch: "e1" },
};
globalThis.fetch = async (path) => new Response(
  JSON.stringify({ protocol: 1, ...BODIES[path.split("?")[0]] }),
  { headers: { "Content-Type": "application/json" } });

test("a match opened while the first run ends is fetched at once, and not a minute later", async (t) => {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const forget = bag.store.sentForget.bind(bag.store);
  bag.store.sentForget = async (now) => {
    bag.matchOpen("12"); // which to fetch was settled before
    await forget(now);
  };
  await bag.syncNow();
  assert.equal((await bag.store.packageOf("7", "12"))?.pack.match.id, "12");
});
