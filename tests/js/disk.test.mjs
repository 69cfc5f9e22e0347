// What is remembered of the phone's disk is what stands there, and a tap reads nothing anew.
import assert from "node:assert/strict";
import { createRequire } from "node:module";
import { test } from "node:test";

const need = createRequire(new URL("../../web/bank/package.json", import.meta.url));
const { IDBFactory, IDBKeyRange } = need("fake-indexeddb");
const { storeOpen } = await import("../../web/bank/shell/store.js");
const { Dexie } = await import("../../web/bank/shell/vendor/dexie.js");

const MAUD = { id: "7", name: "Maud Ferris" };
const CLOCK = { now: 1_780_000_000_000, offset: -850 };
let names = 0;

function phone(name = `disk-${names++}`, indexedDB = new IDBFactory()) {
  return storeOpen(name, { indexedDB, IDBKeyRange });
}

function draft(id, over = {}) {
  return { id, kind: "weigh_in", match: "1", peg: "2", body: { net: 1, weight: 1000, unit: "g" }, ...over };
}

/** How often the disk was read since. */
function readsOf(store) {
  const told = { reads: 0 };
  const read = store.read.bind(store);
  store.read = (work) => { told.reads += 1; return read(work); };
  return told;
}

const idsOf = async (store) => (await store.factsOf("7", "1")).map((row) => row.id);

test("a tap is in what was read before, and nothing is read anew", async () => {
  const store = phone();
  await store.factKeep(MAUD, draft("a"), CLOCK);
  await Promise.all([idsOf(store), store.counts("7"), store.pulledOf("7", "1")]);
  const told = readsOf(store);
  await store.factKeep(MAUD, draft("b"), CLOCK);
  await store.factKeep(MAUD, draft("b"), CLOCK);
  await store.factKeep(MAUD, draft("c", { match: "2" }), CLOCK);
  assert.deepEqual(await idsOf(store), ["a", "b"]);
  assert.deepEqual(await store.counts("7"), { kept: 3, sent: 0, refused: 0 });
  await store.pulledOf("7", "1");
  assert.equal(told.reads, 0);
});

test("what the server said is in what was read before", async () => {
  const store = phone();
  for (const id of ["a", "b", "c"]) await store.factKeep(MAUD, draft(id), CLOCK);
  await Promise.all([idsOf(store), store.counts("7")]);
  const told = readsOf(store);
  await store.outcomesKeep(new Map([
    ["a", { state: "sent", outcome: "disagrees" }], ["b", { state: "refused", problem: {} }],
    ["z", { state: "sent" }],
  ]), [], CLOCK.now);
  assert.deepEqual(await store.counts("7"), { kept: 1, sent: 1, refused: 1 });
  assert.deepEqual((await store.factsOf("7", "1")).map((row) => row.state), ["sent", "refused", "kept"]);
  assert.equal(told.reads, 0);
  assert.deepEqual((await store.factsDisputed("7")).map((row) => row.id), ["a"]);
});

test("after a clash, a page or another tab it is read anew", async () => {
  const store = phone();
  await store.factKeep(MAUD, draft("a"), CLOCK);
  assert.deepEqual(await idsOf(store), ["a"]);
  await store.outcomesKeep(new Map(), ["a"], CLOCK.now);
  assert.notDeepEqual(await idsOf(store), ["a"]);
  assert.deepEqual(await store.pulledOf("7", "1"), []);
  const page = { facts: [{ id: "p", cseq: 1 }], next: "n", epoch: "e" };
  await store.pageKeep("7", "1", page);
  assert.deepEqual((await store.pulledOf("7", "1")).map((fact) => fact.id), ["p"]);
  await store.db.facts.clear();
  store.recall.forget();
  assert.deepEqual(await idsOf(store), []);
});

test("what is read while a write is on the way is not remembered, and is never counted twice", async () => {
  const store = phone();
  const writing = store.factKeep(MAUD, draft("a"), CLOCK);
  await Promise.all([writing, idsOf(store), store.counts("7")]);
  assert.deepEqual(await idsOf(store), ["a"]);
  assert.deepEqual(await store.counts("7"), { kept: 1, sent: 0, refused: 0 });
});

test("a write that failed leaves nothing remembered", async () => {
  const store = phone();
  assert.deepEqual(await idsOf(store), []);
  const told = readsOf(store);
  await assert.rejects(store.write(["facts"], () => store.db.facts.add({ id: null })));
  assert.deepEqual(await idsOf(store), []);
  assert.equal(told.reads, 1);
});

test("a phone of the first version keeps its unsent facts, and its next number", async () => {
  const engine = new IDBFactory();
  const first = new Dexie("old", { indexedDB: engine, IDBKeyRange });
  first.version(1).stores({
    facts: "&id, person, [person+state], [person+match]",
    matches: "&[person+id], person",
    pulled: "&[person+id], [person+match]",
    meta: "&key",
  });
  const row = { person: "7", match: "1", kept_at: 0 };
  await first.table("facts").bulkAdd([
    { ...row, id: "a", state: "kept", fact: { ...draft("a"), seq: 1 } },
    { ...row, id: "b", state: "sent", outcome: "disagrees", fact: { ...draft("b"), seq: 2 } },
  ]);
  await first.table("meta").add({ key: "device:7", device: "d", seq: 2 });
  first.close();
  const store = phone("old", engine);
  assert.deepEqual((await store.factsIn("7", "kept")).map((kept) => kept.id), ["a"]);
  assert.deepEqual((await store.factsDisputed("7")).map((sent) => sent.id), ["b"]);
  assert.equal((await store.factKeep(MAUD, draft("c"), CLOCK)).fact.seq, 3);
});
