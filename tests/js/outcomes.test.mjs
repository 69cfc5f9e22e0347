import assert from "node:assert/strict";
import { test } from "node:test";
import { batchPick, outcomesRead, BATCH_BYTES } from "../../web/bank/shell/outcomes.js";
import { waitNext } from "../../web/bank/shell/backoff.js";

const row = (id, body = {}) => ({ id, state: "kept", fact: { id, body } });

test("each outcome does to the fact what it says", () => {
  const batch = ["a", "b", "c", "d", "e", "f", "g"].map((id) => row(id));
  const rivals = [{ fact: "x", author: "Perrin Stoat", kind: "two_weights" }];
  const { changed, clashed, later } = outcomesRead(batch, [
    { id: "a", outcome: "accepted", cseq: 1 },
    { id: "b", outcome: "duplicate", cseq: 2 },
    { id: "c", outcome: "waiting", cseq: 3 },
    { id: "d", outcome: "disagrees", cseq: 4, rivals },
    { id: "e", outcome: "refused", problem: { detail: "No such match." } },
    { id: "f", outcome: "clash" },
    { id: "g", outcome: "later", after: 7 },
  ]);
  assert.deepEqual(Object.fromEntries(changed), {
    a: { state: "sent", outcome: "accepted", cseq: 1 },
    b: { state: "sent", outcome: "duplicate", cseq: 2 },
    c: { state: "sent", outcome: "waiting", cseq: 3 },
    d: { state: "sent", outcome: "disagrees", cseq: 4, rivals },
    e: { state: "refused", outcome: "refused", problem: { detail: "No such match." } },
  });
  assert.deepEqual(clashed, ["f"]);
  assert.equal(later, 7);
});

test("what the reply does not name, or names in words unknown here, stays", () => {
  const { changed, clashed, later } = outcomesRead([row("a"), row("b")], [
    { id: "b", outcome: "pondered" },
    { id: "stranger", outcome: "accepted", cseq: 9 },
    { id: null, outcome: "refused" },
    null,
  ]);
  assert.equal(changed.size, 0);
  assert.deepEqual(clashed, []);
  assert.equal(later, 0);
});

test("a batch holds at most five hundred facts and what the server unpacks", () => {
  const many = Array.from({ length: 700 }, (_, i) => row(String(i)));
  assert.equal(batchPick(many).length, 500);
  assert.equal(batchPick(many, 250).length, 250);
  const wordy = Array.from({ length: 50 }, (_, i) => row(String(i), { note: "é".repeat(5_000) }));
  const batch = batchPick(wordy);
  const bytes = new TextEncoder().encode(JSON.stringify(batch.map((r) => r.fact))).length;
  assert.ok(bytes <= BATCH_BYTES + 2);
  assert.equal(batch.length, 24);
});

test("one fact too large for any batch still goes alone, to be refused by name", () => {
  assert.equal(batchPick([row("a", { note: "x".repeat(BATCH_BYTES) }), row("b")]).length, 1);
});

test("unsent facts without signal are tried again within ten seconds", () => {
  for (const failures of [1, 5, 50]) {
    const wait = waitNext({ failures, busy: false, unsent: true }, () => 1);
    assert.ok(wait <= 10_000, String(wait));
  }
});

test("a busy server is left alone for longer and longer, up to five minutes", () => {
  const most = (failures) => waitNext({ failures, busy: true, unsent: true }, () => 1);
  assert.deepEqual([1, 2, 3, 20].map(most), [3_000, 5_000, 9_000, 301_000]);
  assert.equal(waitNext({ failures: 1, busy: true, unsent: true, asked: 30 }, () => 0), 30_000);
});

test("a phone that was given its turn comes then, however often it was asked to come again", () => {
  const most = (asked) => waitNext({ failures: 20, busy: true, unsent: true, asked }, () => 1);
  assert.equal(most(30), 38_000);
  assert.equal(most(2), 302_000);
});
