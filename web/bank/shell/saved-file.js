// @ts-check
/**
 * A copy of everything unsent, as a file a person can keep and read back in.
 * @typedef {import("./facts.js").Fact} Fact
 */
const FORMAT = "drawbag-unsent";
const VERSION = 1;
const UUID = /^[0-9a-f]{8}-(?:[0-9a-f]{4}-){3}[0-9a-f]{12}$/i;

/**
 * @param {{id: string, name: string}} person
 * @param {Fact[]} facts
 * @param {number} now
 */
export function fileText(person, facts, now) {
  const saved_at = new Date(now).toISOString();
  return JSON.stringify({ format: FORMAT, version: VERSION, person, saved_at, facts }, null, 1);
}

/**
 * The facts of a saved file, or null when it is not one, is damaged, or is another person's:
 * a queue goes out only as its owner's.
 * @param {string} text
 * @param {string} personId
 * @returns {Fact[] | null}
 */
export function fileFacts(text, personId) {
  let file;
  try {
    file = JSON.parse(text);
  } catch {
    return null;
  }
  if (file?.format !== FORMAT || file.version !== VERSION || !Array.isArray(file.facts)) return null;
  if (String(file.person?.id) !== personId) return null;
  return file.facts.every(factShaped) ? file.facts : null;
}

/** @param {any} fact */
function factShaped(fact) {
  return fact !== null && typeof fact === "object"
    && [fact.id, fact.device].every((id) => typeof id === "string" && UUID.test(id))
    && [fact.kind, fact.match, fact.recorded_at].every((t) => typeof t === "string")
    && Number.isSafeInteger(fact.seq) && typeof fact.body === "object" && fact.body !== null;
}
