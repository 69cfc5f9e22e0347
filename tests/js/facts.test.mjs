import assert from "node:assert/strict";
import { test } from "node:test";
import {
  factsKnown, inForce, netCorrected, netDisputed, netToSettle, weighedByPeg, weightUnusual,
} from "../../web/bank/shell/facts.js";
import { amountPlain, planButtons } from "../../web/bank/shell/feed.js";
import { feedTotals } from "../../web/bank/shell/feed-stands.js";
import { pegNoteBody } from "../../web/bank/shell/peg-notes.js";
import { isPlain } from "../../web/bank/shell/plain-text.js";
import { fileFacts, fileText } from "../../web/bank/shell/saved-file.js";

const fact = (id, over = {}) => ({
  id, kind: "weigh_in", match: "1", peg: "2", supersedes: null,
  body: { net: 1, weight: 1000, unit: "g", witness: null }, ...over,
});
const own = (f, state = "kept") => ({ id: f.id, person: "7", match: "1", state, fact: f, kept_at: 0 });

test("a correction stands in place of what it corrects, whoever logged it", () => {
  const known = factsKnown([own(fact("b", { supersedes: "a" }))], [fact("a")]);
  assert.deepEqual(inForce(known).map((k) => k.fact.id), ["b"]);
});

test("a scratch takes its fact away and stands for nothing itself", () => {
  const known = factsKnown([own(fact("a")), own(fact("s", { kind: "scratch", supersedes: "a" }))], []);
  assert.deepEqual(inForce(known), []);
});

test("a refused fact is not in force, and one sent and pulled counts once", () => {
  const known = factsKnown([own(fact("a"), "sent"), own(fact("r"), "refused")], [fact("a")]);
  assert.deepEqual(inForce(known).map((k) => k.fact.id), ["a"]);
});

test("two weights for one net are a dispute, two equal ones are not", () => {
  const leaves = (weight) =>
    weighedByPeg(factsKnown([own(fact("a"))], [fact("b", { body: { net: 1, weight } })]))
      .get("2").get(1);
  assert.equal(netDisputed(leaves(1250)), true);
  assert.equal(netDisputed(leaves(1000)), false);
});

const by = (id, name, f) => ({ fact: f, own: null, author: { id, name } });
const MEMBER = { id: "7", may_weigh: false };

test("a member's correction of a weigher's weight stands beside it, to be settled", () => {
  const theirs = by("8", "Tamsin", fact("a"));
  const mine = own(fact("b", { supersedes: "a", body: { net: 1, weight: 1250 } }));
  const known = [theirs, ...factsKnown([mine], [])];
  const leaves = (pack) => weighedByPeg(known, pack).get("2").get(1);
  const ids = (pack) => leaves(pack).map((k) => k.fact.id);
  for (const pack of [{ person: MEMBER }, { person: MEMBER, officials: ["8"] }]) {
    assert.deepEqual(ids(pack), ["a", "b"]);
    assert.equal(netToSettle(leaves(pack), { state: "weighing" }), true);
  }
  assert.deepEqual(ids({ person: { ...MEMBER, may_weigh: true } }), ["b"]);
  assert.deepEqual(ids({ person: MEMBER, officials: ["7", "8"] }), ["b"]);
});

test("of what another member corrected, the phone says what the server will", () => {
  const known = [by("8", "Tamsin", fact("a")),
    by("9", "Perrin", fact("b", { supersedes: "a", body: { net: 1, weight: 1250 } }))];
  const ids = (officials) => weighedByPeg(known, { person: MEMBER, officials })
    .get("2").get(1).map((k) => k.fact.id);
  assert.deepEqual(ids(["8"]), ["a", "b"]);
  assert.deepEqual(ids(["9"]), ["b"]);
});

test("what the secretary chose stands alone, until somebody weighs once more", () => {
  const at = (cseq, f) => by("8", "Tamsin", { ...f, cseq });
  const two = [at(1, fact("a")), at(2, fact("b", { body: { net: 1, weight: 1250 } }))];
  const ruling = at(3, fact("r", { kind: "ruling", peg: "", body: { disagreement: 1, stands: "b" } }));
  const ids = (known) => weighedByPeg(known, {}).get("2").get(1).map((k) => k.fact.id);
  assert.deepEqual(ids([...two, ruling]), ["b"]);
  assert.deepEqual(ids([...two, ruling, at(4, fact("c"))]), ["b", "c"]);
});

test("what is kept after the result was confirmed is to be settled", () => {
  const leaves = factsKnown([own(fact("a"))], []);
  assert.equal(netToSettle(leaves, { state: "confirmed" }), true);
  assert.equal(netToSettle(leaves, { state: "provisional" }), false);
  assert.equal(netToSettle(factsKnown([own(fact("a"), "sent")], []), { state: "confirmed" }), false);
});

test("equal weights with other fish are a dispute, a count that is missing is not", () => {
  const leaves = (fish) =>
    weighedByPeg(factsKnown(
      [own(fact("a", { body: { net: 1, weight: 1000, fish: [["Roach", 2]] } }))],
      [fact("b", { body: { net: 1, weight: 1000, fish } })],
    )).get("2").get(1);
  assert.equal(netDisputed(leaves([["Roach", 3]])), true);
  assert.equal(netDisputed(leaves([["Roach", 2]])), false);
  assert.equal(netDisputed(leaves(undefined)), false);
});

test("the same weight from a second weigher corrects nothing, another one does", () => {
  const theirs = [{ fact: fact("a"), own: null, author: { id: "8", name: "Tamsin" } }];
  assert.equal(netCorrected(theirs, { weight: 1000 }, "7"), null);
  assert.equal(netCorrected(theirs, { weight: 1001 }, "7")?.id, "a");
  const mine = [...theirs, { fact: fact("b"), own: own(fact("b")), author: null }];
  assert.equal(netCorrected(mine, { weight: 1000 }, "7")?.id, "b");
  assert.equal(netCorrected([], { weight: 1000 }, "7"), null);
});

test("a weight is asked about above what a net usually holds, or three times the rest", () => {
  assert.equal(weightUnusual(22_681, "g", []), true);
  assert.equal(weightUnusual(22_680, "g", []), false);
  assert.equal(weightUnusual(3_001, "g", [1000, 900, 800]), true);
  assert.equal(weightUnusual(3_001, "g", [1000, 900]), false);
  assert.equal(weightUnusual(500, "g", [0, 0, 0]), false);
  assert.equal(weightUnusual(12_801, "dr", []), true);
});

test("feed sums are exact where binary fractions are not", () => {
  const note = (amount) => ({ name: "Caster", unit: "pint", amount });
  assert.deepEqual(feedTotals(["0.1", "0.2", "1.25"].map(note)), [
    { name: "Caster", unit: "pint", amount: "1.55" },
  ]);
});

test("a typed amount is a plain number above zero with four decimals at most", () => {
  assert.equal(amountPlain(" 0,250 "), "0.25");
  assert.equal(amountPlain("2"), "2");
  for (const bad of ["", "0", "0.00", "-1", "1.23456", "a pint", "1e3"]) {
    assert.equal(amountPlain(bad), null, bad);
  }
});

test("a plan gives one button for each bait, amount and line", () => {
  const feed = { bait: "caster", name: "Caster", amount: "0.2500", unit: "pint" };
  const stage = (line) => ({ line, feeds: [feed] });
  assert.deepEqual(
    planButtons({ stages: [stage("long"), stage("long"), stage("short")] }).map(
      (b) => [b.amount, b.line, b.stage]),
    [["0.25", "long", 0], ["0.25", "short", 2]],
  );
  assert.deepEqual(planButtons(null), []);
});

const logged = (over = {}) => ({
  ...fact("01890a5d-ac96-774b-bcce-b302099a8057"), device: "01890a5d-ac96-774b-bcce-b302099a8058",
  seq: 1, recorded_at: "2026-06-20T13:05:11.250Z", clock_offset_ms: 0, ...over,
});

test("a saved file reads back for its owner alone, and a damaged one not at all", () => {
  const text = fileText({ id: "7", name: "Maud" }, [logged()], 0);
  assert.deepEqual(fileFacts(text, "7"), { facts: [logged()], spoiled: 0 });
  assert.deepEqual(fileFacts(text, "8"), { others: "Maud", handed: false });
  for (const bad of [text.slice(0, -9), "{}", "null", "[]", text.replace("drawbag-unsent", "else"),
    text.replace('"version": 1', '"version": 2')]) {
    assert.deepEqual(fileFacts(bad, "7"), { damaged: true });
  }
});

test("what was spoiled in a saved file is left out, the rest is read", () => {
  const spoiled = [null, 7, {}, logged({ id: "x" }), logged({ recorded_at: "noon" }),
    logged({ peg: 4 }), logged({ body: null }), logged({ seq: "2" }), logged({ clock_offset_ms: "x" })];
  const text = fileText({ id: "7", name: "Maud" }, [logged(), ...spoiled], 0);
  assert.deepEqual(fileFacts(text, "7"), { facts: [logged()], spoiled: spoiled.length });
});

test("a body that no screen can read is in force nowhere, whoever wrote it", () => {
  const bodies = [
    ["weigh_in", [{}, { net: 1, weight: "4250" }, { net: 1, weight: -1 }, { net: 1.5, weight: 1 },
      { net: 1, weight: 1, fish: "Roach" }, { net: 1, weight: 1, fish: [["Roach"]] }, []]],
    ["feed_note", [{}, { bait: "hemp", unit: "pint", amount: 1 }, { bait: "hemp", unit: "pint", amount: "much" }]],
    ["fish_note", [{}, { species: 3, count: 1 }]],
    ["peg_note", [{ depth_cm: "deep" }, { note: 4 }, { float_run: { ms: "x" } }]],
    ["signal", [{}]],
    ["weather", [{}]],
    ["toString", [{}]],
  ];
  for (const [kind, all] of bodies) {
    for (const body of all) {
      const made = fact("x", { kind, body });
      assert.deepEqual(factsKnown([own(made)], []), [], JSON.stringify(made));
      assert.deepEqual(factsKnown([], [made]), []);
    }
  }
});

test("peg notes are whole centimetres, or not taken", () => {
  const nothing = { depth: "", settles: "", note: "" };
  assert.deepEqual(pegNoteBody({ ...nothing, depth: "210", note: " weed " }), {
    depth_cm: 210, float_run: null, rig_settles_cm: null, note: "weed",
  });
  assert.equal(pegNoteBody(nothing), null);
  assert.equal(pegNoteBody({ ...nothing, depth: "two" }), null);
  assert.equal(pegNoteBody({ ...nothing, settles: "0" }).rig_settles_cm, 0);
  assert.deepEqual(pegNoteBody({ ...nothing, snags: " branch " }), {
    depth_cm: null, float_run: null, rig_settles_cm: null, note: "", snags: "branch",
  });
});

test("text that no screen shows as it is, is told from text that languages are written with", () => {
  for (const odd of ["a\u0000", "\u001b[2J", "\u007f", "\u0085", "\u202eabc", "\u2066a", "\u2069", "\ud83d"]) {
    assert.equal(isPlain(odd), false, JSON.stringify(odd));
  }
  for (const plain of ["", "a\tb\nc\r", "\u05d0\u05d1 Wend", "a\u200fb", "\u00c6sk \ud83d\ude00"]) {
    assert.equal(isPlain(plain), true, JSON.stringify(plain));
  }
});
