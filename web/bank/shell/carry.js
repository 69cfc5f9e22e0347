// @ts-check
/**
 * Handing facts to a mate's phone, and taking a mate's. What is handed over is signed by the phone
 * it is from: whoever sends it, the server takes it as that phone's person's. The server judges;
 * this phone checks what it can without signal.
 */
import { bag } from "./bag.js";
import { bodySound } from "./facts.js";
import { bundlePack, bundlesIn, bundleUnpack, factRow, rowFact } from "./bundle.js";
import { CARRIED } from "./facts.js";
import { handKeyOf, handSign, signatureFits } from "./hand-key.js";
import { factShaped } from "./saved-file.js";
import { carryWords as words } from "./words-carry.js";

/**
 * @typedef {import("./facts.js").OwnRow} OwnRow
 * @typedef {import("./facts.js").Fact} Fact
 * @typedef {import("./bundle.js").Giver} Giver
 * @typedef {{id: string, name: string}} Person
 * @typedef {{taken: number, known: number, refused: {id: string, why: string}[], from: string[]}} Taken
 */

/** What another weigher goes on from; what others fed and caught is their own. */
const TOLD = new Set(["weigh_in", "scratch", "signal", "ruling"]);
const nobodys = (/** @type {string} */ why) => ({ taken: 0, known: 0, refused: [{ id: "", why }], from: [] });

/**
 * This phone's unsent facts of the match, signed, and those it carries for others. With `all` also
 * what is known of the weighing from the server. Throws CannotCarry, in words, where this phone
 * has something to sign and cannot.
 * @param {string} match @param {{all?: boolean}} [how]
 * @returns {Promise<Uint8Array>}
 */
export async function bundleMake(match, { all = false } = {}) {
  const person = bag.person;
  if (!person) throw cannotCarry(words.nobody);
  const own = await bag.store.factsOf(person.id, match);
  const carried = await bag.store.factsOf(CARRIED, match);
  const by = [...(await ownGiver(person, own.filter(isKept))), ...carriedGivers(carried.filter(isKept))];
  const seen = all ? seenOf(person, own, carried, await bag.store.pulledOf(person.id, match)) : [];
  return bundlePack({ match, by, seen });
}

const isKept = (/** @type {OwnRow} */ row) => row.state === "kept";

/** @param {string} why */
function cannotCarry(why) {
  return Object.assign(new Error(why), { name: "CannotCarry" });
}

/** @param {Person} person @param {OwnRow[]} rows @returns {Promise<Giver[]>} none or one */
async function ownGiver(person, rows) {
  if (!rows.length) return [];
  const key = await handKeyOf(person.id);
  if (key?.state === "cannot") throw cannotCarry(words.cannot);
  if (key?.state === "revoked") throw cannotCarry(words.revoked);
  if (key?.state !== "joined" || !key.public_key) throw cannotCarry(key?.why || words.notJoined);
  const device = await bag.store.deviceOf(person.id);
  const facts = [];
  for (const { fact } of rows) {
    // One read in from another phone of the same person's goes out from here alone.
    const signature = fact.device === device ? await handSign(key, fact, person.id) : null;
    if (signature) facts.push(factRow(fact, signature));
  }
  return [{ person: person.id, name: person.name, device, key: key.public_key, facts }];
}

/** @param {OwnRow[]} rows @returns {Giver[]} one a phone */
function carriedGivers(rows) {
  /** @type {Map<string, Giver>} */
  const givers = new Map();
  for (const { fact, carried } of rows) {
    if (!carried) continue;
    const { person, name, key, signature } = carried;
    const giver = givers.get(key) ?? { person, name, device: fact.device, key, facts: [] };
    givers.set(key, giver);
    giver.facts.push(factRow(fact, signature));
  }
  return [...givers.values()];
}

/** @param {Person} person @param {OwnRow[]} own @param {OwnRow[]} carried @param {any[]} pulled */
function seenOf(person, own, carried, pulled) {
  const known = new Map(pulled.map((fact) => [fact.id, fact]));
  for (const row of own.filter((r) => r.state === "sent")) {
    known.set(row.id, { ...row.fact, cseq: row.cseq, author: { id: person.id, name: person.name } });
  }
  for (const { state, fact, cseq, carried: by } of carried) {
    const here = known.has(fact.id) || !by || (state !== "sent" && state !== "seen");
    if (!here) known.set(fact.id, { ...fact, cseq, author: { id: by.person, name: by.name } });
  }
  return [...known.values()].filter((fact) => TOLD.has(fact.kind)).map(({ received_at, ...fact }) => fact);
}

/**
 * Take what another phone handed over, or what it saved as a file of its unsent facts. What is wrong
 * with it is told in words, and nothing else of it is held up.
 * @param {Uint8Array} bytes
 * @returns {Promise<Taken>}
 */
export async function bundleTake(bytes) {
  const bundles = bundlesIn(bytes);
  if ("why" in bundles) return nobodys(bundles.why);
  /** @type {Taken} */
  const out = { taken: 0, known: 0, refused: [], from: [] };
  for (const one of bundles.all) {
    const { taken, known, refused, from } = await oneTake(one);
    out.taken += taken;
    out.known += known;
    out.refused.push(...refused);
    out.from = [...new Set([...out.from, ...from])];
  }
  return out;
}

/** @param {Uint8Array} bytes @returns {Promise<Taken>} */
async function oneTake(bytes) {
  const person = bag.person;
  if (!person) return nobodys(words.nobody);
  const read = await bundleUnpack(bytes);
  if ("why" in read) return nobodys(read.why);
  const { match, by, seen } = read.bundle;
  const me = await bag.store.metaGet(`me:${person.id}`);
  const ours = me?.matches?.some((/** @type {any} */ m) => String(m.id) === match);
  if (!ours) return nobodys(words.otherClub);
  const pulled = await bag.store.pulledOf(person.id, match);
  /** @type {Taken} */
  const out = { taken: 0, known: 0, refused: [], from: [] };
  for (const giver of by) await giverTake(person, match, giver, pulled, out);
  await seenTake(match, seen, pulled, out);
  return out;
}

/** @param {Person} person @param {string} match @param {Giver} giver @param {any[]} pulled @param {Taken} out */
async function giverTake(person, match, giver, pulled, out) {
  const here = new Set(pulled.map((fact) => fact.id));
  const others = pulled.some((fact) =>
    fact.device === giver.device && String(fact.author?.id) !== giver.person);
  /** @type {Map<string, {fact: Fact, signature: string}>} */
  const good = new Map();
  for (const row of giver.facts) {
    const { fact, signature } = rowFact(row, match, giver.device);
    const why = others ? words.otherPhone : await faultOf(giver, fact, signature);
    if (why) out.refused.push({ id: String(fact.id), why });
    else if (here.has(fact.id)) out.known += 1;
    else good.set(fact.id, { fact, signature });
  }
  const { key, name } = giver;
  const mine = giver.person === person.id;
  const more = (/** @type {string} */ id) => (mine ? {} : {
    carried: { person: giver.person, name, key, signature: good.get(id)?.signature ?? "" },
  });
  await rowsTake(mine ? person.id : CARRIED, [...good.values()].map((g) => g.fact), more, out);
  if (!out.from.includes(name)) out.from.push(name);
}

/** @param {Giver} giver @param {Fact} fact @param {any} signature */
async function faultOf(giver, fact, signature) {
  if (!factShaped(fact) || !bodySound(fact) || typeof signature !== "string") return words.spoiled;
  return (await signatureFits(giver.key, signature, fact, giver.person)) ? null : words.altered;
}

/** @param {string} match @param {any[]} seen @param {any[]} pulled @param {Taken} out */
async function seenTake(match, seen, pulled, out) {
  const here = new Set(pulled.map((fact) => fact.id));
  /** @type {Map<string, any>} */
  const good = new Map();
  for (const { cseq, author, ...fact } of seen.filter((it) => it !== null && typeof it === "object")) {
    const sound = factShaped(fact) && bodySound(fact) && fact.match === match && TOLD.has(fact.kind)
      && /^\d{1,19}$/.test(author?.id) && typeof author.name === "string";
    if (!sound) out.refused.push({ id: String(fact.id), why: words.spoiled });
    else if (here.has(fact.id)) out.known += 1;
    else good.set(fact.id, { fact, cseq, author });
  }
  const more = (/** @type {string} */ id) => {
    const { cseq, author } = good.get(id);
    const carried = { person: author.id, name: author.name, key: "", signature: "" };
    return /** @type {Partial<OwnRow>} */ ({ state: "seen", cseq, carried });
  };
  await rowsTake(CARRIED, [...good.values()].map((g) => g.fact), more, out);
}

/** @param {string} whose @param {Fact[]} facts @param {(id: string) => Partial<OwnRow>} more @param {Taken} out */
async function rowsTake(whose, facts, more, out) {
  if (!facts.length) return;
  const { fresh } = await bag.store.factsTakeIn({ id: whose }, facts, Date.now(), more);
  out.taken += fresh;
  out.known += facts.length - fresh;
  await bag.refresh();
  void bag.syncNow({ pull: false });
}
