// @ts-check
/**
 * The key this phone signs with what it hands to a mate's phone. Made when its person is first
 * signed in with signal, and made known to the server; the half that signs cannot leave the phone.
 */
import { bag } from "./bag.js";
import { base64urlRead, base64urlWrite, carriedMessage } from "./canonical.js";
import { NotKept } from "./in-time.js";
import { keyPost } from "./net.js";

/**
 * `state`: made but not known to the server yet; joined; taken off the list at the desk; refused by
 * the server in words (`why`); or this engine can make or keep none.
 * @typedef {{state: "made" | "joined" | "revoked" | "refused" | "cannot", why?: string,
 *   pair?: CryptoKeyPair, public_key?: string}} HandKey
 */

const CURVE = { name: "ECDSA", namedCurve: "P-256" };
const SIGNING = { name: "ECDSA", hash: "SHA-256" };
const keyOf = (/** @type {string} */ person) => `hand:${person}`;
/** Whose phone was made known since the page opened. @type {string | null} */
let asked = null;
let cannot = false;

/** How the person's phone stands. @param {string} person @returns {Promise<HandKey | null>} null: not made yet */
export async function handKeyOf(person) {
  return cannot ? { state: "cannot" } : ((await bag.store.metaGet(keyOf(person))) ?? null);
}

/** Make the key at need and make it known. @param {string} person @returns {Promise<boolean>} whether something answered */
export async function handKeyJoin(person) {
  const key = (await handKeyOf(person)) ?? (await handKeyMake(person));
  if (key.state === "cannot" || !key.public_key) return true;
  const device = await bag.store.deviceOf(person);
  const answer = await keyPost({ device, key: key.public_key });
  if (answer.kind === "ok") {
    const state = answer.body.key.revoked_at ? "revoked" : "joined";
    await bag.store.metaPut(keyOf(person), { ...key, state, why: undefined });
  } else if (answer.kind === "refused") {
    const why = answer.problem?.detail ?? "";
    await bag.store.metaPut(keyOf(person), { ...key, state: "refused", why });
  } else return false;
  bag.dispatchEvent(new Event("change"));
  return true;
}

/** Another key, after the one before was taken off the list. @param {string} person */
export async function handKeyRenew(person) {
  await handKeyMake(person, (await handKeyOf(person))?.public_key);
  await handKeyJoin(person);
}

/** @param {string} person @param {string} [before] the key that it takes the place of @returns {Promise<HandKey>} */
async function handKeyMake(person, before) {
  try {
    const pair = await crypto.subtle.generateKey(CURVE, false, ["sign", "verify"]);
    const point = new Uint8Array(await crypto.subtle.exportKey("raw", pair.publicKey));
    const made = { state: /** @type {const} */ ("made"), pair, public_key: base64urlWrite(point) };
    // Two tabs make one: the first.
    await bag.store.metaSwap(keyOf(person), (row) => (row?.public_key === before ? made : null));
    return (await bag.store.metaGet(keyOf(person))) ?? made;
  } catch (error) {
    // No WebCrypto here, or a store that holds no keys.
    const known = error instanceof TypeError || error instanceof DOMException || error instanceof NotKept;
    if (!known) throw error;
    cannot = true;
    return { state: "cannot" };
  }
}

/**
 * The phone's signature of a fact as the person's, or null for one that cannot be signed.
 * @param {HandKey} key @param {import("./facts.js").Fact} fact @param {string} person
 * @returns {Promise<string | null>}
 */
export async function handSign(key, fact, person) {
  if (!key.pair) return null;
  try {
    const message = await carriedMessage(fact, person);
    const signature = await crypto.subtle.sign(SIGNING, key.pair.privateKey, message);
    return base64urlWrite(new Uint8Array(signature));
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return null;
  }
}

/**
 * Whether the holder of the key signed just this fact as just this person's.
 * @param {string} publicKey @param {string} signature
 * @param {import("./facts.js").Fact} fact @param {string} person
 */
export async function signatureFits(publicKey, signature, fact, person) {
  const [point, pair] = [base64urlRead(publicKey), base64urlRead(signature)];
  if (point?.length !== 65 || pair?.length !== 64) return false;
  try {
    const key = await crypto.subtle.importKey("raw", point, CURVE, false, ["verify"]);
    const message = await carriedMessage(fact, person);
    return await crypto.subtle.verify(SIGNING, key, pair, message);
  } catch (error) {
    if (error instanceof RangeError || error instanceof DOMException) return false;
    throw error;
  }
}

/** Once a page and person, as soon as something answers. */
async function join() {
  const person = bag.person?.id ?? null;
  if (bag.signal !== "ok" || !person || person === asked) return;
  asked = person;
  try {
    if (!(await handKeyJoin(person))) asked = null;
  } catch (error) {
    if (!(error instanceof NotKept)) throw error;
  }
}

bag.addEventListener("change", () => void join());
void join();
