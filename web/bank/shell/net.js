// @ts-check
/**
 * The only file that calls fetch. Every answer comes back as one of a few kinds, so that a page
 * of a café's network is never taken for ours.
 * @typedef {{kind: "ok", body: any, etag: string | null}
 *   | {kind: "same"}
 *   | {kind: "no_signal"}
 *   | {kind: "sign_in"}
 *   | {kind: "too_large", problem: any}
 *   | {kind: "later", after: number}
 *   | {kind: "refused", status: number, problem: any}} Answer
 */

export const PROTOCOL = 1;
const TIME_LIMIT_MS = 30_000;
const PACK_FROM = 4_000;
const LATER = new Set([429, 500, 502, 503, 504]);

/** Server clock less phone clock, in ms, as last measured; for display only. */
let offset = 0;
let measured = false;
/** Server clock less phone clock, in ms. */
export const clockOffset = () => offset;
/** Whether that was measured since the app started. */
export const clockWasMeasured = () => measured;

/** What an earlier start measured, good until this one does. @param {number} ms */
export function clockRecall(ms) {
  if (!measured) offset = ms;
}

/**
 * Who is signed in, and a token to write with. Nobody is no fault: a 401 would stand among the
 * page's errors.
 * @returns {Promise<Answer>}
 */
export async function meGet() {
  const answer = await ask("GET", "/api/v1/me?or_nobody=1");
  return answer.kind === "ok" && answer.body.person === null ? { kind: "sign_in" } : answer;
}

/** @param {string} id @param {string | null} etag @returns {Promise<Answer>} */
export const packageGet = (id, etag) => ask("GET", `/api/v1/sync/match/${id}`, { etag });

/** @param {string} match @param {string | null} after @returns {Promise<Answer>} */
export function factsGet(match, after) {
  const query = new URLSearchParams({ match, limit: "500" });
  if (after) query.set("after", after);
  return ask("GET", `/api/v1/sync/facts?${query}`);
}

/** @param {{device: string, app: string, facts: any[]}} push */
export const factsPost = (push) => post("/api/v1/sync/facts", push);

/** @param {{device: string, key: string}} what */
export const keyPost = (what) => post("/api/v1/sync/keys", what);

/** @param {string} path @param {object} what @returns {Promise<Answer>} */
async function post(path, what) {
  const body = await packed(JSON.stringify({ protocol: PROTOCOL, ...what }));
  const answer = await ask("POST", path, { body });
  if (answer.kind !== "refused" || answer.status !== 403) return answer;
  // The token may have been changed by a sign-in elsewhere: fetch one, try once more.
  const me = await meGet();
  return me.kind === "ok" ? ask("POST", path, { body }) : me;
}

/**
 * A long body is sent as gzip, where the browser can: on a slow line that is most of the wait.
 * @param {string} text
 * @returns {Promise<string | Blob>}
 */
async function packed(text) {
  if (text.length < PACK_FROM || !("CompressionStream" in globalThis)) return text;
  const stream = new Blob([text]).stream().pipeThrough(new CompressionStream("gzip"));
  return new Response(stream).blob();
}

/** @returns {Promise<boolean>} */
export async function signOut() {
  const answer = await send("POST", "/sign-out/", { body: "", redirect: "follow" });
  return answer !== null && answer.ok;
}

/**
 * @param {string} method @param {string} path
 * @param {{body?: string | Blob, etag?: string | null}} [what]
 * @returns {Promise<Answer>}
 */
async function ask(method, path, what = {}) {
  const response = await send(method, path, { ...what, redirect: "error" });
  if (response === null) return { kind: "no_signal" };
  if (response.status === 304) return { kind: "same" };
  if (response.status === 413) return { kind: "too_large", problem: await jsonOf(response) };
  if (LATER.has(response.status)) return { kind: "later", after: retryAfter(response) };
  const body = await jsonOf(response);
  if (body === null) return { kind: "no_signal" };
  if (response.ok) {
    if (body.protocol !== PROTOCOL) return { kind: "no_signal" };
    offsetMeasure(response);
    return { kind: "ok", body, etag: response.headers.get("ETag") };
  }
  if (response.status === 401) return { kind: "sign_in" };
  return { kind: "refused", status: response.status, problem: body };
}

/**
 * @param {string} method @param {string} path
 * @param {{body?: string | Blob, etag?: string | null, redirect: RequestRedirect}} what
 * @returns {Promise<Response | null>} null when nothing answered
 */
async function send(method, path, { body, etag, redirect }) {
  /** @type {Record<string, string>} */
  const headers = { Accept: "application/json" };
  if (etag) headers["If-None-Match"] = etag;
  if (body !== undefined) {
    headers["Content-Type"] = "application/json";
    headers["X-CSRFToken"] = csrfToken();
    if (typeof body !== "string") headers["Content-Encoding"] = "gzip";
  }
  try {
    return await fetch(path, {
      method, headers, body, redirect, cache: "no-store", credentials: "same-origin",
      signal: AbortSignal.timeout(TIME_LIMIT_MS),
    });
  } catch (error) {
    if (error instanceof TypeError || error instanceof DOMException) return null;
    throw error;
  }
}

/** @param {Response} response @returns {Promise<any>} null when it is not JSON, or was cut short */
async function jsonOf(response) {
  if (!/^application\/([a-z]+\+)?json\b/.test(response.headers.get("Content-Type") ?? "")) {
    return null;
  }
  try {
    const body = await response.json();
    return body && typeof body === "object" ? body : null;
  } catch (error) {
    if (error instanceof SyntaxError || error instanceof TypeError) return null;
    if (error instanceof DOMException) return null;
    throw error;
  }
}

/** @param {Response} response */
function retryAfter(response) {
  const seconds = Number(response.headers.get("Retry-After"));
  return Number.isFinite(seconds) && seconds > 0 ? Math.min(seconds, 300) : 0;
}

/** @param {Response} response */
function offsetMeasure(response) {
  const at = Date.parse(response.headers.get("Date") ?? "");
  if (Number.isNaN(at)) return;
  // The header counts whole seconds: half a second is the best guess of the rest.
  offset = Math.round(at + 500 - Date.now());
  measured = true;
}

function csrfToken() {
  return /(?:^|; )csrftoken=([^;]+)/.exec(document.cookie)?.[1] ?? "";
}
