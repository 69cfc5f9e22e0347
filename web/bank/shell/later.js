// @ts-check
/**
 * Parts of the app that come after the first load: the worker fetches them all together, and a
 * screen among them is imported when first opened. A part that is not here yet is asked for again
 * with the next signal, or by hand.
 */
import { bag } from "./bag.js";

/** @typedef {"coming" | "here" | "missing"} State */

/** @type {Map<string, {state: State, failed: number}>} by path from here; how often an import failed */
const parts = new Map();
/** A worker that was killed meanwhile never answers. */
const ANSWER_LIMIT_MS = 130_000;
const AWAY = new Set(["unknown", "no_signal"]);
let reached = false;

/** How a part stands; the first who asks has it fetched. The bag says "change" as it comes.
 * @param {string} path @returns {State} */
export function partState(path) {
  if (!parts.has(path)) void partFetch(path);
  return parts.get(path)?.state ?? "coming";
}

/** Fetch a part now, again if it failed before. @param {string} path */
export async function partFetch(path) {
  const failed = parts.get(path)?.failed ?? 0;
  stateSet(path, "coming", failed);
  if (!(await restFetch(navigator.serviceWorker?.controller))) return stateSet(path, "missing", failed);
  try {
    // Some engines answer a failed import from memory for ever: another address is asked anew.
    await import(failed ? `${path}?try=${failed}` : path);
    stateSet(path, "here", failed);
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    stateSet(path, "missing", failed + 1);
  }
}

/** @param {string} path @param {State} state @param {number} failed */
function stateSet(path, state, failed) {
  parts.set(path, { state, failed });
  bag.dispatchEvent(new Event("change"));
}

/** Have the worker fetch what comes later. True when all of it is here, or no worker keeps it.
 * @param {ServiceWorker | null} worker @returns {Promise<boolean>} */
function restFetch(worker) {
  if (!worker) return Promise.resolve(true);
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = (event) => resolve(Boolean(event.data));
    setTimeout(() => resolve(false), ANSWER_LIMIT_MS);
    worker.postMessage("later", [port2]);
  });
}

/** Each time something answers again: fetch what is not here, first what somebody waits for. */
export function partsFollowSignal() {
  bag.addEventListener("change", () => {
    const before = reached;
    reached = !AWAY.has(bag.signal);
    if (!reached || before) return;
    partState("./hand-key.js"); // which makes this phone known by itself
    const missing = [...parts].filter(([, part]) => part.state === "missing");
    for (const [path] of missing) void partFetch(path);
    if (!missing.length) void navigator.serviceWorker?.ready.then(({ active }) => restFetch(active));
  });
}
