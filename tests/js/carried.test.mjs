// What is signed of a fact, and handing it from phone to phone: two phones in one process.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { test } from "node:test";
import { deflateRawSync, inflateRawSync } from "node:zlib";

const need = createRequire(new URL("../../web/bank/package.json", import.meta.url));
const { IDBFactory, IDBKeyRange } = need("fake-indexeddb");
Object.assign(globalThis, { indexedDB: new IDBFactory(), IDBKeyRange, document: { cookie: "" } });
Object.assign(globalThis, { addEventListener: () => {}, BroadcastChannel: class { postMessage() {} } });

const shell = (name) => import(`../../web/bank/shell/${name}`);
const { bag } = await shell("bag.js");
const { canonicalJson, carriedMessage, factOwn } = await shell("canonical.js");
const { bundleMake, bundleTake } = await shell("carry.js");
const { fileMake, fileTake } = await shell("handing.js");
const { handKeyJoin, handKeyOf, handKeyRenew, handSign, signatureFits } = await shell("hand-key.js");
const { CARRIED, carriedShown } = await shell("facts.js");
const { storeOpen } = await shell("store.js");
const { Sync } = await shell("sync.js");
const { bundlePack, bundleUnpack, factRow, FACTS_MOST, UNPACKED_MOST } = await shell("bundle.js");
const { carryWords } = await shell("words-carry.js");

const cases = JSON.parse(readFileSync(new URL("../cases/carried.json", import.meta.url), "utf8"));
const WILMOT = { id: "7", name: "Wilmot Crane" };
const ODETTE = { id: "8", name: "Odette Marl" };
const CLOCK = { now: 1_780_000_000_000, offset: -850 };
const MATCHES = [{ id: "12", date: "2026-05-28" }];
let names = 0;

// Nothing is sent on its own here; the server that keys are made known to answers as told.
bag.syncNow = async () => {};
let keyAnswer = (body) => [200, { protocol: 1, key: { ...body, revoked_at: null } }];
globalThis.fetch = async (path, { body }) => {
  assert.equal(path, "/api/v1/sync/keys");
  const [status, json] = keyAnswer(JSON.parse(body));
  return new Response(JSON.stringify(json), { status, headers: { "Content-Type": "application/json" } });
};

/** A phone of the person's, held in hand: the bag is its. */
async function phone(person, { joined = true } = {}) {
  const engine = { indexedDB: new IDBFactory(), IDBKeyRange };
  const store = storeOpen(`carry-${names++}`, engine);
  await store.metaPut(`me:${person.id}`, { clubs: [], matches: MATCHES });
  await store.metaPut("person", { ...person, signed_out: false });
  const made = { person, store };
  await hold(made);
  if (joined) await handKeyJoin(person.id);
  return made;
}

async function hold({ person, store }) {
  Object.assign(bag, { store, person });
  await bag.refresh();
}

const weigh = (id, over = {}) => ({
  id, kind: "weigh_in", match: "12", peg: "4",
  body: { net: 1, weight: 4250, unit: "g", witness: null }, ...over,
});
const uuid = (n) => `01890a5d-ac96-7000-8000-${String(n).padStart(12, "0")}`;

/** What is in a bundle, and a bundle of what it was made into. */
const opened = (bytes) => JSON.parse(inflateRawSync(bytes.slice(1)));
const closed = (it) => Uint8Array.of(1, ...deflateRawSync(Buffer.from(JSON.stringify(it))));

async function handedOver(facts = [weigh(uuid(1))]) {
  await phone(WILMOT);
  for (const draft of facts) await bag.store.factKeep(WILMOT, draft, CLOCK);
  return bundleMake("12");
}

for (const one of cases) {
  test(`signed: ${one.why}`, async () => {
    assert.equal(canonicalJson(factOwn(one.fact)), one.canonical);
    assert.equal(new TextDecoder().decode(await carriedMessage(one.fact, one.person)), one.message);
    assert.equal(await signatureFits(one.key, one.signature, one.fact, one.person), one.fits);
  });
}

test("a number that two languages write in two ways is not signed", async () => {
  for (const value of [0.5, 2 ** 53, NaN, Infinity]) assert.throws(() => canonicalJson({ value }), RangeError);
  await phone(WILMOT);
  const { fact } = await bag.store.factKeep(WILMOT, weigh(uuid(1), { body: { net: 1, weight: 0.5 } }), CLOCK);
  assert.equal(await handSign(await handKeyOf("7"), fact, "7"), null);
});

test("a key is made once, cannot leave the phone, and signs after the app is opened anew", async () => {
  const wilmots = await phone(WILMOT);
  const key = await handKeyOf("7");
  assert.equal(key.state, "joined");
  assert.equal(key.pair.privateKey.extractable, false);
  await assert.rejects(crypto.subtle.exportKey("pkcs8", key.pair.privateKey));
  await hold({ ...wilmots, store: wilmots.store });
  await handKeyJoin("7");
  assert.equal((await handKeyOf("7")).public_key, key.public_key);
});

test("what A hands over, B carries as A's and never counts as B's", async () => {
  const bytes = await handedOver([weigh(uuid(1)), weigh(uuid(2), { peg: "5" })]);
  const odettes = await phone(ODETTE);
  const taken = await bundleTake(bytes);
  assert.deepEqual(taken, { taken: 2, known: 0, refused: [], from: ["Wilmot Crane"] });
  assert.deepEqual(bag.counts, { kept: 0, sent: 0, refused: 0 });
  assert.equal(bag.carrying, 2);
  const rows = await odettes.store.factsIn(CARRIED, "kept");
  assert.deepEqual(carriedShown(rows).map((f) => [f.peg, f.author]), [
    ["4", { id: "7", name: "Wilmot Crane" }], ["5", { id: "7", name: "Wilmot Crane" }],
  ]);
  assert.deepEqual(await bundleTake(bytes), { taken: 0, known: 2, refused: [], from: ["Wilmot Crane"] });
});

test("B hands on what B carries, signed by A still, beside B's own", async () => {
  const first = await handedOver();
  await phone(ODETTE);
  await bundleTake(first);
  await bag.store.factKeep(ODETTE, weigh(uuid(9), { peg: "2" }), CLOCK);
  const second = await bundleMake("12");
  await phone({ id: "9", name: "Tamsin Rook" });
  assert.deepEqual(await bundleTake(second), {
    taken: 2, known: 0, refused: [], from: ["Odette Marl", "Wilmot Crane"],
  });
});

test("own and carried facts go out together, and the answers clear both", async () => {
  const bytes = await handedOver([weigh(uuid(1)), weigh(uuid(2)), weigh(uuid(3))]);
  const { store } = await phone(ODETTE);
  await bundleTake(bytes);
  await store.factKeep(ODETTE, weigh(uuid(9)), CLOCK);
  let sent = [];
  const said = { [uuid(2)]: "clash", [uuid(3)]: "refused" };
  const net = serverOf(ODETTE, async ({ facts }) => {
    sent = facts;
    return ok({ outcomes: facts.map(({ id }) => ({ id, outcome: said[id] ?? "accepted", cseq: 1 })) });
  });
  await new Sync({ store, net, app: () => "b1" }).run({ pull: false });
  assert.deepEqual(sent.map((f) => [f.id, Boolean(f.carried)]), [
    [uuid(9), false], [uuid(1), true], [uuid(2), true], [uuid(3), true],
  ]);
  assert.deepEqual(Object.keys(sent[1].carried), ["key", "signature"]);
  const rows = await Promise.all(["kept", "sent", "refused"].map((s) => store.factsIn(CARRIED, s)));
  assert.deepEqual(rows.map((r) => r.map((row) => row.id)), [[], [uuid(1)], [uuid(2), uuid(3)]]);
  assert.deepEqual(await store.counts("8"), { kept: 0, sent: 1, refused: 0 });
});

test("whoever of the club signs in sends what is carried; a stranger to the club does not", async () => {
  const bytes = await handedOver();
  const { store } = await phone(ODETTE);
  await bundleTake(bytes);
  let sent = 0;
  const post = async ({ facts }) => {
    sent += facts.length;
    return ok({ outcomes: facts.map(({ id }) => ({ id, outcome: "accepted", cseq: 1 })) });
  };
  const stranger = serverOf({ id: "99", name: "Ned Outwell" }, post, []);
  await new Sync({ store, net: stranger, app: () => "b1" }).run({ pull: false });
  assert.equal(sent, 0);
  const maud = serverOf({ id: "10", name: "Maud Ferris" }, post);
  await new Sync({ store, net: maud, app: () => "b1" }).run({ pull: false });
  assert.equal(sent, 1);
});

const CHANGES = {
  "a digit of the weight": (giver) => { giver.facts[0][7].weight = 4251; },
  "the person": (giver) => { giver.person = "9"; },
  "the phone": (giver) => { giver.device = "7b0f4c1e-52a9-4d0e-9c35-1f6a2b3c4d5e"; },
  "the signature": (giver) => { giver.facts[0][8] = giver.facts[0][8].replace(/^./, (c) => (c === "A" ? "B" : "A")); },
  "the key": (giver) => { giver.key = cases[0].key; },
};
for (const [what, change] of Object.entries(CHANGES)) {
  test(`a bundle in which ${what} was changed is refused in words and nothing is kept of it`, async () => {
    const it = opened(await handedOver());
    change(it.by[0]);
    const { store } = await phone(ODETTE);
    const taken = await bundleTake(closed(it));
    assert.deepEqual([taken.taken, taken.refused], [0, [{ id: uuid(1), why: carryWords.altered }]]);
    assert.deepEqual(await store.factsIn(CARRIED, "kept"), []);
  });
}

test("one fact that was changed holds up no other", async () => {
  const it = opened(await handedOver([weigh(uuid(1)), weigh(uuid(2))]));
  it.by[0].facts[0][7].weight = 1;
  it.by[0].facts.push(["no fact"]);
  await phone(ODETTE);
  const { taken, refused } = await bundleTake(closed(it));
  assert.deepEqual([taken, refused.map((r) => r.why)], [1, [carryWords.altered, carryWords.spoiled]]);
});

const WHOLE = {
  "of another club's match": [(it) => ({ ...it, match: "13" }), carryWords.otherClub],
  "of another app": [(it) => ({ ...it, format: "other" }), carryWords.notOurs],
  "of a newer app": [(it) => ({ ...it, version: 2 }), carryWords.newer],
  "without givers": [({ by, ...it }) => it, carryWords.notOurs],
  "with a giver that is none": [(it) => ({ ...it, by: [{ person: "7; drop", facts: [] }] }), carryWords.notOurs],
  "of too many": [(it) => ({ ...it, seen: Array(FACTS_MOST).fill(0) }), carryWords.tooLarge],
};
for (const [what, [change, why]] of Object.entries(WHOLE)) {
  test(`a bundle ${what} is refused whole`, async () => {
    const it = opened(await handedOver());
    await phone(ODETTE);
    assert.deepEqual(await bundleTake(closed(change(it))), {
      taken: 0, known: 0, refused: [{ id: "", why }], from: [],
    });
  });
}

test("bytes that are no bundle, are cut short or unpack to more than is taken are refused", async () => {
  const bytes = await handedOver();
  await phone(ODETTE);
  const bomb = Uint8Array.of(1, ...deflateRawSync(Buffer.alloc(4 * UNPACKED_MOST)));
  const why = async (it) => (await bundleTake(it)).refused[0].why;
  for (const it of [new Uint8Array(), Uint8Array.of(7, 7), bytes.slice(0, -9), Uint8Array.of(0, 123)]) {
    assert.equal(await why(it), carryWords.notOurs);
  }
  assert.equal(await why(bomb), carryWords.tooLarge);
  assert.equal(await why(new Uint8Array(600_000)), carryWords.tooLarge);
});

test("a phone whose facts are known as somebody else's is not believed", async () => {
  const it = opened(await handedOver());
  const { store } = await phone(ODETTE);
  const fact = { ...weigh(uuid(5)), device: it.by[0].device, seq: 1, cseq: 1, author: { id: "10", name: "Maud" } };
  await store.pageKeep("8", "12", { facts: [fact], next: "n", epoch: "e" });
  assert.deepEqual((await bundleTake(closed(it))).refused, [{ id: uuid(1), why: carryWords.otherPhone }]);
});

test("one's own facts come back as one's own", async () => {
  const bytes = await handedOver();
  await phone(WILMOT);
  assert.deepEqual(await bundleTake(bytes), { taken: 1, known: 0, refused: [], from: ["Wilmot Crane"] });
  assert.deepEqual([bag.counts.kept, bag.carrying], [1, 0]);
});

test("with all, what the server has is shown on the other phone until it has fetched it", async () => {
  const { store } = await phone(WILMOT);
  await store.factKeep(WILMOT, weigh(uuid(1)), CLOCK);
  await store.outcomesKeep(new Map([[uuid(1), { state: "sent", cseq: 3 }]]), [], CLOCK.now);
  const theirs = { ...(await store.factsOf("7", "12"))[0].fact, id: uuid(2), device: uuid(77), peg: "5" };
  const note = { ...theirs, id: uuid(3), kind: "peg_note", body: { depth_cm: 180 } };
  const author = { id: "10", name: "Maud Ferris" };
  const facts = [{ ...theirs, cseq: 1, author }, { ...note, cseq: 2, author }];
  await store.pageKeep("7", "12", { facts, next: "n", epoch: "e" });
  const bytes = await bundleMake("12", { all: true });
  assert.equal(opened(bytes).by.length, 0);

  const odettes = await phone(ODETTE);
  assert.deepEqual(await bundleTake(bytes), { taken: 2, known: 0, refused: [], from: [] });
  const shown = carriedShown(await odettes.store.factsOf(CARRIED, "12"));
  assert.deepEqual(new Map(shown.map((f) => [f.peg, f.author.name])),
    new Map([["4", "Wilmot Crane"], ["5", "Maud Ferris"]]));
  assert.equal(bag.carrying, 0);
  await odettes.store.pageKeep("8", "12", { facts: [], next: "n", epoch: "e" });
  assert.deepEqual(await odettes.store.factsOf(CARRIED, "12"), []);
});

test("what was only shown is carried once its phone hands it over signed", async () => {
  const { store } = await phone(WILMOT);
  const { fact } = await store.factKeep(WILMOT, weigh(uuid(1)), CLOCK);
  const signed = await bundleMake("12");
  const seen = [{ ...fact, cseq: 3, author: WILMOT }];
  const shown = await bundlePack({ match: "12", by: [], seen });
  await phone(ODETTE);
  assert.equal((await bundleTake(shown)).taken, 1);
  assert.equal(bag.carrying, 0);
  assert.equal((await bundleTake(signed)).taken, 1);
  assert.equal(bag.carrying, 1);
  assert.equal((await bundleTake(shown)).taken, 0);
  assert.equal(bag.carrying, 1);
});

test("a phone that has not joined, or was taken off the list, says so and hands over nothing", async () => {
  const cannot = (why) => ({ name: "CannotCarry", message: why });
  await phone(WILMOT, { joined: false });
  assert.ok((await bundleMake("12")).length > 0);
  await bag.store.factKeep(WILMOT, weigh(uuid(1)), CLOCK);
  await assert.rejects(bundleMake("12"), cannot(carryWords.notJoined));
  const before = keyAnswer;
  keyAnswer = () => [409, { detail: "This phone is another person’s already." }];
  await handKeyJoin("7");
  await assert.rejects(bundleMake("12"), cannot("This phone is another person’s already."));
  keyAnswer = (body) => [200, { protocol: 1, key: { ...body, revoked_at: "2026-05-02T14:05:11.250Z" } }];
  await handKeyJoin("7");
  await assert.rejects(bundleMake("12"), cannot(carryWords.revoked));
  const off = (await handKeyOf("7")).public_key;
  keyAnswer = before;
  await handKeyRenew("7");
  assert.notEqual((await handKeyOf("7")).public_key, off);
  assert.ok((await bundleMake("12")).length > 100);
});

test("one file serves its person and a mate's phone; unsigned it is its person's alone", async () => {
  const { store } = await phone(WILMOT);
  await store.factKeep(WILMOT, weigh(uuid(1)), CLOCK);
  const kept = await store.factsIn("7", "kept");
  const text = new TextEncoder().encode(await fileMake(WILMOT, kept, []));
  const own = await phone(WILMOT);
  assert.match(await fileTake(own.person, text), /^1 fact taken in from the file/);
  const mates = await phone(ODETTE);
  assert.equal(await fileTake(mates.person, text), carryWords.taken(1));
  assert.equal(bag.carrying, 1);
  assert.deepEqual(await bundleTake(text), { taken: 0, known: 1, refused: [], from: ["Wilmot Crane"] });

  const keyless = await phone(WILMOT, { joined: false });
  await keyless.store.factKeep(WILMOT, weigh(uuid(1)), CLOCK);
  const unsigned = new TextEncoder().encode(await fileMake(keyless.person, kept, []));
  await phone(ODETTE);
  assert.equal((await bundleTake(unsigned)).refused[0].why, carryWords.unsigned);
  assert.match(await fileTake(ODETTE, unsigned), /Wilmot Crane/);
  assert.equal(bag.carrying, 0);
});

test("a file saved on a phone that carries holds what it carries too", async () => {
  const bytes = await handedOver();
  const { store } = await phone(ODETTE);
  await bundleTake(bytes);
  const text = new TextEncoder().encode(await fileMake(ODETTE, await store.factsIn("8", "kept"), []));
  await phone(ODETTE);
  assert.match(await fileTake(ODETTE, text), /^0 facts taken in .*1 fact taken in to carry/);
  assert.equal(bag.carrying, 1);
});

test("twenty facts are at most 5 kB, and read the same where nothing deflates", async () => {
  await phone(WILMOT);
  for (let n = 0; n < 20; n++) {
    const body = { net: 1, weight: 1000 + n * 137, unit: "g", witness: null };
    const id = crypto.randomUUID();
    await bag.store.factKeep(WILMOT, weigh(id, { peg: String(n + 1), body }), { ...CLOCK, now: CLOCK.now + n * 61_234 });
  }
  const bytes = await bundleMake("12");
  assert.ok(bytes.length <= 5_000, String(bytes.length));
  const plain = Uint8Array.of(0, ...Buffer.from(JSON.stringify(opened(bytes))));
  assert.deepEqual(await bundleUnpack(plain), await bundleUnpack(bytes));
});

const ok = (body) => ({ kind: "ok", etag: null, body: { protocol: 1, ...body } });
function serverOf(person, factsPost, matches = MATCHES) {
  return { clockOffset: () => 0, factsPost, meGet: async () => ok({ person, clubs: [], matches }) };
}
