// @ts-check
/**
 * Parts of the app that come after the first load: the worker fetches them all together, and a
 * screen among them is imported when first opened. Where no worker answers for this page, as in a
 * browser without one or in some private windows, the page itself takes all of them while it can.
 * A part that is not here yet is asked for again with the next signal, or by hand.
 */
import { bag } from "./bag.js";

const PARTS = /** @type {const} */ ([
  "./hand-key.js", // first: it makes this phone known by itself
  "./lacks.js",
  "./screens/match-more.js",
  "./screens/feed-more.js",
  "./screens/fish-more.js",
  "./screens/peg.js",
  "./screens/swim.js",
  "./screens/plan.js",
  "./screens/mixing.js",
  "./screens/section.js",
  "./screens/pass.js",
  "./screens/care.js",
  "./screens/phone.js",
  "./screens/feel.js",
  "./carried-list.js",
  "./handing.js",
  "./awake.js",
  "./beep.js",
]);

/** @typedef {typeof PARTS[number]} Part */
/** @typedef {"coming" | "here" | "missing"} State */

/** @type {Map<Part, {state: State, failed: number}>} by path from here; how often an import failed */
const parts = new Map();
/** A worker that was killed meanwhile never answers. */
const ANSWER_LIMIT_MS = 130_000;
/** A new worker takes over an open page within a moment, or never does. */
const TAKE_OVER_LIMIT_MS = 3_000;
const AWAY = new Set(["unknown", "no_signal"]);
let reached = false;

/** How a part stands; the first who asks has it fetched. The bag says "change" as it comes.
 * @param {Part} path @returns {State} */
export function partState(path) {
  if (!parts.has(path)) void partFetch(path);
  return parts.get(path)?.state ?? "coming";
}

/** Fetch a part now, again if it failed before. @param {Part} path */
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

/** @param {Part} path @param {State} state @param {number} failed */
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
    partState(PARTS[0]);
    const missing = [...parts].filter(([, part]) => part.state === "missing");
    for (const [path] of missing) void partFetch(path);
    if (!missing.length) void restBring();
  });
}

/** The worker that is there keeps the rest, and answers for this page; or the page takes it all. */
async function restBring() {
  void navigator.serviceWorker?.ready.then(({ active }) => restFetch(active));
  if (await takenOver()) return;
  for (const path of PARTS) partState(path);
}

/** Whether a worker answers for this page. @returns {Promise<boolean>} */
function takenOver() {
  const workers = navigator.serviceWorker;
  if (!workers || workers.controller) return Promise.resolve(Boolean(workers));
  return new Promise((resolve) => {
    workers.addEventListener("controllerchange", () => resolve(true), { once: true });
    setTimeout(() => resolve(Boolean(workers.controller)), TAKE_OVER_LIMIT_MS);
  });
}
