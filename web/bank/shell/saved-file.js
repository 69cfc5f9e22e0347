// @ts-check
/**
 * A copy of everything unsent, as a file a person can keep and read back in. What the phone could
 * sign stands in it once more as `handed`, so that a mate's phone can carry it.
 * @typedef {import("./facts.js").Fact} Fact
 */
const FORMAT = "drawbag-unsent";
const VERSION = 1;
const UUID = /^[0-9a-f]{8}-(?:[0-9a-f]{4}-){3}[0-9a-f]{12}$/i;

/**
 * What a phone saves of its unsent facts.
 * @param {{id: string, name: string}} person
 * @param {Fact[]} facts
 * @param {number} now
 * @param {string[]} [handed] bundles for a mate's phone, in base64url
 */
export function fileText(person, facts, now, handed = []) {
  const saved_at = new Date(now).toISOString();
  return JSON.stringify({ format: FORMAT, version: VERSION, person, saved_at, facts, handed }, null, 1);
}

/**
 * The facts of a saved file. None when it is not one or is damaged (`damaged`), or is another
 * person's (`others`, with the name): a queue goes out only as its owner's. `spoiled` are those
 * that are no facts any more.
 * @param {string} text
 * @param {string} personId
 * @returns {{facts: Fact[], spoiled: number} | {damaged: true}
 *   | {others: string, handed: boolean}} `handed`: a mate's phone can carry what is in it
 */
export function fileFacts(text, personId) {
  let file;
  try {
    file = JSON.parse(text);
  } catch {
    return { damaged: true };
  }
  const known = file?.format === FORMAT && file.version === VERSION && Array.isArray(file.facts);
  if (!known) return { damaged: true };
  const handed = Array.isArray(file.handed) && file.handed.length > 0;
  if (String(file.person?.id) !== personId) return { others: String(file.person?.name ?? ""), handed };
  const facts = file.facts.filter(factShaped);
  return { facts, spoiled: file.facts.length - facts.length };
}

/** Whether it is a fact in shape; the server reads what it says. @param {any} fact */
export function factShaped(fact) {
  return fact !== null && typeof fact === "object"
    && [fact.id, fact.device].every((id) => typeof id === "string" && UUID.test(id))
    && [fact.kind, fact.match, fact.peg, fact.recorded_at].every((t) => typeof t === "string")
    && !Number.isNaN(Date.parse(fact.recorded_at))
    && Number.isSafeInteger(fact.seq) && Number.isSafeInteger(fact.clock_offset_ms) && typeof fact.body === "object" && fact.body !== null;
}
