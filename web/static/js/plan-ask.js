// @ts-check
// Sends the plan's form and gives back the page that is answered.

/** Longer than this there is no answer: better to say so than to wait on a dead line. */
const WAIT_MS = 30_000;

/** @typedef {{ away: boolean, page: Document }} Answer `away` is for another page: it was saved,
 *  or one has to sign in again. */

/** Null where none comes. @param {string} address @param {Iterable<[string, unknown]>} fields
 *  @param {AbortController} [stop] @returns {Promise<Answer | null>} */
export async function ask(address, fields, stop = new AbortController()) {
  const body = new URLSearchParams();
  for (const [name, value] of fields) body.append(name, String(value));
  const late = setTimeout(() => stop.abort(), WAIT_MS);
  try {
    const { signal } = stop;
    const answer = await fetch(address, { method: "POST", body, redirect: "manual", signal });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    return { away: answer.type === "opaqueredirect", page };
  } catch {
    return null;
  } finally {
    clearTimeout(late);
  }
}

/** @param {Answer | null} answer @returns {HTMLFormElement | null} */
export function planIn(answer) {
  return /** @type {HTMLFormElement | null} */ (answer?.page.getElementById("plan") ?? null);
}
