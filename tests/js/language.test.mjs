// Every word of the phone app is there in French, and says something.
import assert from "node:assert/strict";
import { readdirSync } from "node:fs";
import { test } from "node:test";
import { all } from "../../web/bank/shell/fr/all.js";
import { languageSet, said } from "../../web/bank/shell/language.js";

const SHELL = new URL("../../web/bank/shell/", import.meta.url);
// What a group of French words is called where it is not its file's name.
const GROUPS = { words: "shared", dayWords: "day", units: "units" };

/** Each group as [its name, English, French]. */
async function groups() {
  const found = [];
  for (const file of readdirSync(SHELL).filter((name) => /^words(-\w+)?\.js$/.test(name))) {
    for (const [name, english] of Object.entries(await import(new URL(file, SHELL)))) {
      if (typeof english === "function") continue;
      const group = GROUPS[name] ?? name.replace(/Words$/, "");
      found.push([group, english, all[group]]);
    }
  }
  return found;
}

/** What a function may be asked for, as texts, numbers and the shapes of the swim. */
const SHAPE = {
  rodsUpstream: 1.5, rodsAcross: 2, clock: 10.5, upstream_cm: 250, out_cm: 400, rod_cm: 400,
  stand: { flowsTo: "left", line: 11, rod: 11 }, wind: { way: "up", speed: 3 },
  feed: { name: "Wx7" }, swim: { speed: 0.25 }, join: () => "one; two",
};
const CALLS = [[1, 1, 1, 1], [2.5, 3, 7, 9], ["4.5", "8", "x", "y"], [SHAPE, "Wx7", "x"], [["a", "b"]]];

/** Every leaf: its path, English and French. */
function* leaves(english, french, path) {
  for (const key of Object.keys(english)) {
    const at = `${path}.${key}`;
    if (english[key] !== null && typeof english[key] === "object") {
      assert.equal(typeof french?.[key], "object", at);
      yield* leaves(english[key], french[key], at);
    } else yield [at, english[key], french?.[key]];
  }
}

function answers(words) {
  return CALLS.flatMap((call) => {
    try {
      return [words(...call)];
    } catch {
      return []; // not asked like this
    }
  });
}

test("every word in English has one of its kind in French, and no other is there", async () => {
  const names = [];
  for (const [group, english, french] of await groups()) {
    names.push(group);
    assert.ok(french, group);
    assert.deepEqual(Object.keys(french).sort(), Object.keys(english).sort(), group);
    for (const [at, one, other] of leaves(english, french, group)) {
      assert.equal(typeof other, typeof one, at);
      if (typeof one === "function") assert.ok(other.length <= one.length, at);
      else assert.ok(String(other).trim(), at);
    }
  }
  assert.deepEqual([...names, "many"].sort(), Object.keys(all).sort());
});

test("functions answer in French whatever the English answers to, and with all it was told", async () => {
  let asked = 0;
  for (const [group, english, french] of await groups()) {
    for (const [at, one, other] of leaves(english, french, group)) {
      if (typeof one !== "function") continue;
      const [said, spoken] = [answers(one), answers(other)];
      asked += said.length;
      assert.equal(spoken.length, said.length, at);
      const odd = (text) => !text || /undefined|NaN|object/.test(text);
      spoken.forEach((text, n) => assert.ok(typeof text === "string" && (!odd(text) || odd(said[n])), `${at}: ${text} | ${said[n]}`));
      const told = (text) => /Wx7/.test(text);
      said.forEach((text, n) => assert.equal(told(spoken[n]), told(text), at));
    }
  }
  assert.ok(asked > 200);
});

test("what is chosen lies over the English, decimals with a comma and all below two singular", async () => {
  languageSet("fr", all);
  const { amountText, fishNamed, words } = await import("../../web/bank/shell/words.js?again");
  const { weightText } = await import("../../web/bank/shell/weights.js");
  assert.equal(words.back, "Retour");
  assert.deepEqual(["roach", "skimmer", "Barbel"].map(fishNamed), ["gardon", "plaquette", "Barbel"]);
  assert.equal(amountText("1.5", "pint"), "1,5 pinte");
  assert.equal(amountText("2.50", "pint"), "2,5 pintes");
  assert.equal(weightText(4250, "g"), "4,250 kg");
  languageSet("en-GB", {});
  assert.deepEqual(said("shared", { back: "Back" }), { back: "Back" });
  assert.equal(weightText(4250, "g"), "4.250 kg");
});
