// @ts-check
/** The app's own versions: which build this page runs, and whether a newer one waits. */

let build = "unbuilt";
/** @type {ServiceWorker | null} */
let waiting = null;
let asked = false;
let behind = false;
export const updates = new EventTarget();

/** The build this page runs. */
export const buildShown = () => build;
/** Whether a newer version waits to take over. */
export const newerWaits = () => waiting !== null;

/** Whether another tab let a newer version take over: what this page has not loaded yet is newer. */
export const leftBehind = () => behind;

/** Tell the waiting version to take over; the page then loads anew. */
export function newerUse() {
  if (behind) location.reload();
  asked = true;
  waiting?.postMessage("use-now");
}

/** Register the worker, ask which build this page runs, and tell when a newer one waits. */
export async function workerStart() {
  if (!("serviceWorker" in navigator)) return;
  let kept = Boolean(navigator.serviceWorker.controller);
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (asked) location.reload();
    behind = kept;
    kept = true;
  });
  const found = await navigator.serviceWorker.register("/serviceworker.js").catch(() => null);
  if (!found) return;
  waitingNote(found);
  found.addEventListener("updatefound", () => {
    const coming = found.installing;
    coming?.addEventListener("statechange", () => waitingNote(found));
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") found.update().catch(() => null);
  });
  const ready = await navigator.serviceWorker.ready;
  build = await buildAsk(navigator.serviceWorker.controller ?? ready.active);
  updates.dispatchEvent(new Event("change"));
}

/** @param {ServiceWorkerRegistration} found */
function waitingNote(found) {
  // The very first one has nobody to wait for.
  if (!found.waiting || !navigator.serviceWorker.controller) return;
  waiting = found.waiting;
  updates.dispatchEvent(new Event("change"));
}

/** @param {ServiceWorker | null} worker @returns {Promise<string>} */
function buildAsk(worker) {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = (event) => resolve(String(event.data));
    worker?.postMessage("build", [port2]);
  });
}
