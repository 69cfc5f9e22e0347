import assert from "node:assert/strict";
import { createRequire } from "node:module";
import { test } from "node:test";

const need = createRequire(new URL("../../web/bank/package.json", import.meta.url));
const { IDBFactory, IDBKeyRange } = need("fake-indexeddb");
const { NotKept, storeOpen, SENT_KEPT_MS } = await import("../../web/bank/shell/store.js");
const { Sync, wasKey } = await import("../../web/bank/shell/sync.js");

const MAUD = { id: "7", name: "Maud Ferris" };
const PERRIN = { id: "8", name: "Perrin Stoat" };
const CLOCK = { now: 1_780_000_000_000, offset: -850 };
let names = 0;

function phone() {
  return storeOpen(`phone-${names++}`, { indexedDB: new IDBFactory(), IDBKeyRange });
}

function draft(id, over = {}) {
  return {
    id, kind: "weigh_in", match: "1", peg: "2",
    body: { net: 1, weight: 1000, unit: "g", witness: null }, ...over,
  };
}

/** A server of a few lines: it answers what it is told to, and notes what came. */
function server(over = {}) {
  const got = [];
  return {
    got,
    clockOffset: () => 0,
    meGet: async () => ok({ person: MAUD, clubs: [], matches: [{ id: "1", date: "2026-05-28" }] }),
    packageGet: async () => ok({ match: { id: "1" } }),
    factsGet: async () => ok({ facts: [], next: "n1", more: false, epoch: "e1" }),
    factsPost: async ({ facts }) => {
      got.push(...facts.map((f) => f.id));
      return ok({ outcomes: facts.map((f, i) => ({ id: f.id, outcome: "accepted", cseq: i + 1 })) });
    },
    ...over,
  };
}
const ok = (body) => ({ kind: "ok", etag: null, body: { protocol: 1, ...body } });
const sync = (store, net) => new Sync({ store, net, app: () => "b1", now: () => CLOCK.now });

test("a fact, its number and its place in the outbox are kept together", async () => {
  const store = phone();
  const a = await store.factKeep(MAUD, draft("a"), CLOCK);
  const b = await store.factKeep(MAUD, draft("b"), CLOCK);
  assert.deepEqual([a.fact.seq, b.fact.seq], [1, 2]);
  assert.equal(a.fact.device, b.fact.device);
  assert.equal(a.fact.clock_offset_ms, -850);
  assert.deepEqual(await store.counts("7"), { kept: 2, sent: 0, refused: 0 });
});

test("the same draft kept twice is one fact with one number", async () => {
  const store = phone();
  await store.factKeep(MAUD, draft("a"), CLOCK);
  const again = await store.factKeep(MAUD, draft("a"), CLOCK);
  const next = await store.factKeep(MAUD, draft("b"), CLOCK);
  assert.deepEqual([again.fact.seq, next.fact.seq], [1, 2]);
});

test("a draft changed after a try that was kept after all corrects it", async () => {
  const store = phone();
  await store.factKeep(MAUD, draft("a"), CLOCK);
  const other = { net: 1, weight: 1200, unit: "g", witness: null };
  const { fact } = await store.factKeep(MAUD, draft("a", { body: other }), CLOCK);
  assert.deepEqual([fact.supersedes, fact.body.weight, fact.seq], ["a", 1200, 2]);
});

test("numbers have no hole when many are kept at once", async () => {
  const store = phone();
  await Promise.all(Array.from({ length: 40 }, (_, i) => store.factKeep(MAUD, draft(`f${i}`), CLOCK)));
  const rows = await store.factsIn("7", "kept");
  assert.deepEqual(rows.map((r) => r.fact.seq), Array.from({ length: 40 }, (_, i) => i + 1));
});

// fault: database never answers
test("a write that never answers is not called kept, in time", async () => {
  const store = phone();
  store.limit = 20;
  store.db.transaction = () => new Promise(() => {});
  await assert.rejects(store.factKeep(MAUD, draft("a"), CLOCK), NotKept);
});

// fault: database handle dies
test("a dead handle is opened anew once", async () => {
  const store = phone();
  await store.factKeep(MAUD, draft("a"), CLOCK);
  store.db.close();
  await store.factKeep(MAUD, draft("b"), CLOCK);
  assert.equal((await store.counts("7")).kept, 2);
});

// fault: another person signs in
test("one person's queue is neither seen nor sent by another", async () => {
  const store = phone();
  await store.factKeep(PERRIN, draft("p"), CLOCK);
  const net = server();
  await sync(store, net).run({ pull: true });
  assert.deepEqual(net.got, []);
  assert.equal((await store.counts("7")).kept, 0);
  assert.equal((await store.counts("8")).kept, 1);
});

test("an empty phone sends nothing, a full one everything once", async () => {
  const store = phone();
  for (const id of ["a", "b"]) await store.factKeep(MAUD, draft(id), CLOCK);
  const net = server();
  const result = await sync(store, net).run({ pull: true });
  assert.equal(result.signal, "ok");
  await sync(store, net).run({ pull: true });
  assert.deepEqual(net.got, ["a", "b"]);
  assert.equal((await store.counts("7")).sent, 2);
});

for (const [what, answer, signal] of [
  ["a café's page", { kind: "no_signal" }, "no_signal"],
  ["a session that ended", { kind: "sign_in" }, "sign_in"],
  ["a busy server", { kind: "later", after: 9 }, "busy"],
  ["a refusal of the whole", { kind: "refused", status: 400, problem: {} }, "refused"],
]) {
  test(`after ${what} everything is still kept`, async () => {
    const store = phone();
    await store.factKeep(MAUD, draft("a"), CLOCK);
    const result = await sync(store, server({ factsPost: async () => answer })).run({ pull: true });
    assert.equal(result.signal, signal);
    assert.equal((await store.counts("7")).kept, 1);
  });
}

test("who it is and their matches are told before any match is fetched", async () => {
  const store = phone();
  const told = [];
  const net = server({ packageGet: async () => { told.push("fetch"); return ok({ match: { id: "1" } }); } });
  const known = async ({ id }) => { told.push(id, (await store.metaGet(`me:${id}`)).matches.length); };
  await new Sync({ store, net, app: () => "b1", now: () => CLOCK.now, known }).run({ pull: true });
  assert.deepEqual(told, [MAUD.id, 1, "fetch"]);
});

test("after a tap only what is kept goes out", async () => {
  const store = phone();
  await store.factKeep(MAUD, draft("a"), CLOCK);
  const net = server({ packageGet: () => assert.fail("nobody asked for the match") });
  assert.equal((await sync(store, net).run({ pull: false })).signal, "ok");
  assert.equal((await store.counts("7")).sent, 1);
});

// fault: batch too large (413)
test("a batch that is too large goes in halves", async () => {
  const store = phone();
  for (const id of ["a", "b", "c", "d", "e"]) await store.factKeep(MAUD, draft(id), CLOCK);
  const sizes = [];
  const plain = server();
  const net = server({
    factsPost: async (push) => {
      sizes.push(push.facts.length);
      return push.facts.length > 2 ? { kind: "too_large" } : plain.factsPost(push);
    },
  });
  await sync(store, net).run({ pull: true });
  assert.deepEqual(sizes, [5, 3, 2, 2, 1]);
  assert.equal((await store.counts("7")).sent, 5);
});

/** A server that takes no push with `id` in it, and says why. */
function stumbling(id, answer) {
  const plain = server();
  return server({
    factsPost: async (push) =>
      (push.facts.some((f) => f.id === id) ? answer : plain.factsPost(push)),
  });
}
const problem = (code) => ({ type: `/problems/${code}`, detail: "Send less." });

test("one fact too large for the server is refused in its words and holds up no other", async () => {
  const store = phone();
  for (const id of ["a", "b", "c", "d", "e"]) await store.factKeep(MAUD, draft(id), CLOCK);
  const net = stumbling("c", { kind: "too_large", problem: problem("too-large") });
  assert.equal((await sync(store, net).run({ pull: false })).signal, "ok");
  assert.deepEqual(await store.counts("7"), { kept: 0, sent: 4, refused: 1 });
  assert.equal((await store.factsIn("7", "refused"))[0].problem.detail, "Send less.");
});

test("something on the way that takes no fact at all refuses none", async () => {
  const store = phone();
  await store.factKeep(MAUD, draft("a"), CLOCK);
  const net = server({ factsPost: async () => ({ kind: "too_large", problem: null }) });
  assert.equal((await sync(store, net).run({ pull: false })).signal, "refused");
  assert.equal((await store.counts("7")).kept, 1);
});

test("a fact the server cannot read stays and holds up no other", async () => {
  const store = phone();
  for (const id of ["a", "b", "c", "d", "e"]) await store.factKeep(MAUD, draft(id), CLOCK);
  const net = stumbling("b", { kind: "refused", status: 400, problem: problem("malformed") });
  assert.equal((await sync(store, net).run({ pull: false })).signal, "ok");
  assert.deepEqual((await store.factsIn("7", "kept")).map((row) => row.id), ["b"]);
  assert.equal((await store.counts("7")).sent, 4);
});

test("an envelope the server does not take refuses no fact", async () => {
  const store = phone();
  await store.factKeep(MAUD, draft("a"), CLOCK);
  const net = server({
    factsPost: async () => ({ kind: "refused", status: 400, problem: problem("bad-input") }),
  });
  assert.equal((await sync(store, net).run({ pull: false })).signal, "refused");
  assert.equal((await store.counts("7")).kept, 1);
});

// fault: same id with other content
test("a clash gives ours a new id, keeps its number, and what we wrote about it follows", async () => {
  const store = phone();
  await store.factKeep(MAUD, draft("a"), CLOCK);
  await store.factKeep(MAUD, draft("s", { kind: "scratch", supersedes: "a", body: { why: "" } }), CLOCK);
  await store.outcomesKeep(new Map(), ["a"], CLOCK.now);
  const [mine, scratch] = await store.factsIn("7", "kept");
  assert.notEqual(mine.id, "a");
  assert.equal(mine.fact.seq, 1);
  assert.equal(mine.clash_of, "a");
  assert.equal(scratch.fact.supersedes, mine.id);
});

// fault: reply cut short
test("a page cut short moves neither rows nor cursor", async () => {
  const store = phone();
  const pages = [{ facts: [{ id: "x", cseq: 1 }], next: "n1", more: true, epoch: "e1" }];
  const net = server({
    factsGet: async () => (pages.length ? ok(pages.shift()) : { kind: "no_signal" }),
  });
  await sync(store, net).run({ pull: true });
  assert.equal((await store.cursorOf("7", "1")).next, "n1");
  assert.equal((await store.pulledOf("7", "1")).length, 1);
});

// fault: restored from a copy
test("a restored server is read from the start and offered what it lost", async () => {
  const store = phone();
  await store.factKeep(MAUD, draft("a"), CLOCK);
  const net = server();
  await sync(store, net).run({ pull: true });
  net.factsGet = async (match, after) =>
    ok({ facts: [{ id: after ? "late" : "x", cseq: 1 }], next: "n2", more: false, epoch: "e2" });
  await sync(store, net).run({ pull: true });
  assert.deepEqual(net.got, ["a", "a"]);
  assert.deepEqual((await store.pulledOf("7", "1")).map((f) => f.id), ["x"]);
  assert.equal((await store.cursorOf("7", "1")).epoch, "e2");
});

test("who changes team loses what the old team found out, and nothing of their own", async () => {
  const store = phone();
  for (const id of ["sent", "refused", "kept"]) await store.factKeep(MAUD, draft(id), CLOCK);
  await store.outcomesKeep(new Map([["refused", { state: "refused" }]]), [], CLOCK.now);
  const net = server({
    factsPost: async ({ facts }) => ok({ outcomes: facts.map((f) => (f.id === "sent"
      ? { id: f.id, outcome: "accepted", cseq: 1 } : { id: f.id, outcome: "later", after: 9 })) }),
    packageGet: async () => ok({ match: { id: "1" }, mates: ["8"] }),
    factsGet: async () => ok({ facts: [{ id: "old", cseq: 2 }], next: "n1", more: false, epoch: "alders" }),
  });
  await sync(store, net).run({ pull: true });
  net.packageGet = async () => ok({ match: { id: "1" }, mates: ["9"] });
  net.factsGet = async () => ok({ facts: [{ id: "new", cseq: 3 }], next: "n2", more: false, epoch: "teals" });
  await sync(store, net).run({ pull: true });
  assert.deepEqual((await store.pulledOf("7", "1")).map((f) => f.id), ["new"]);
  assert.deepEqual((await store.packageOf("7", "1")).pack.mates, ["9"]);
  const drawer = await store.factsIn("7", "refused");
  assert.deepEqual([drawer.map((row) => row.id), await store.counts("7")],
    [["refused"], { kept: 1, sent: 1, refused: 1 }]);
});

// fault: restored from a copy
test("what was sent before the match was first fetched is offered to a restored server too", async () => {
  const store = phone();
  await store.factKeep(MAUD, draft("a"), CLOCK);
  const net = server({ factsGet: async () => ({ kind: "no_signal" }) });
  await sync(store, net).run({ pull: true });
  net.factsGet = server().factsGet;
  await sync(store, net).run({ pull: true });
  assert.deepEqual(net.got, ["a", "a"]);
  await sync(store, net).run({ pull: true });
  assert.deepEqual(net.got, ["a", "a"]);
});

// fault: restored from a copy
test("a phone that is killed while it learns of a restored server offers what was lost all the same", async () => {
  const store = phone();
  await store.factKeep(MAUD, draft("a"), CLOCK);
  const net = server();
  await sync(store, net).run({ pull: true });
  net.factsGet = async () => ok({ facts: [], next: "n2", more: false, epoch: "e2" });
  for (const step of ["sentOfferAgain", "pulledClear", "pageKeep"]) {
    store[step] = async () => { throw new Error("killed"); };
    await assert.rejects(sync(store, net).run({ pull: true }), /killed/);
    delete store[step];
  }
  await sync(store, net).run({ pull: true });
  assert.deepEqual([...new Set(net.got)], ["a"]);
  assert.ok(net.got.length > 1);
  assert.equal((await store.cursorOf("7", "1")).epoch, "e2");
});

test("what was sent is kept thirty days, then forgotten; what is unsent never is", async () => {
  const store = phone();
  for (const id of ["a", "b"]) await store.factKeep(MAUD, draft(id), CLOCK);
  await store.outcomesKeep(new Map([["a", { state: "sent" }]]), [], CLOCK.now);
  await store.sentForget(CLOCK.now + SENT_KEPT_MS);
  assert.equal((await store.counts("7")).sent, 1);
  await store.sentForget(CLOCK.now + SENT_KEPT_MS + 1);
  assert.deepEqual(await store.counts("7"), { kept: 1, sent: 0, refused: 0 });
});

test("a file read in twice adds its facts once, under the numbers they had", async () => {
  const old = phone();
  const { fact } = await old.factKeep(MAUD, draft("a"), CLOCK);
  const store = phone();
  assert.deepEqual(await store.factsTakeIn(MAUD, [fact], CLOCK.now), { fresh: 1, differ: 0 });
  assert.deepEqual(await store.factsTakeIn(MAUD, [fact], CLOCK.now), { fresh: 0, differ: 0 });
  const changed = { ...fact, body: { ...fact.body, weight: 9000 } };
  assert.deepEqual(await store.factsTakeIn(MAUD, [changed], CLOCK.now), { fresh: 0, differ: 1 });
  const [row] = await store.factsIn("7", "kept");
  assert.deepEqual(row.fact, fact);
});

test("a changed time stays told through every fetch until it was seen", async () => {
  const store = phone();
  let end = "2026-06-20T14:00:00Z";
  const packageGet = async () =>
    ok({ match: { id: "1", start_at: "2026-06-20T09:00:00Z", end_at: end, last_call_min: 0 } });
  const fetched = async () => {
    await sync(store, server({ packageGet })).run({ pull: true });
    return (await store.metaGet(wasKey("7", "1")))?.times;
  };
  assert.equal(await fetched(), undefined);
  end = "2026-06-20T14:30:00Z";
  const told = { end: Date.parse("2026-06-20T14:00:00Z") };
  assert.deepEqual(await fetched(), told);
  assert.deepEqual(await fetched(), told);
  await store.metaPut(wasKey("7", "1"), { times: {} });
  assert.deepEqual(await fetched(), {});
});
