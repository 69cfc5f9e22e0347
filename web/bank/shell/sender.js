// @ts-check
/**
 * One sender across the tabs of this phone: the browser's locks, or where it has none, a lease
 * written in the store.
 */
const LEASE_MS = 60_000;
const ME = crypto.randomUUID();

/**
 * Do the work, unless another tab does it: by the browser's lock, or by a lease where it has none.
 * @template T
 * @param {import("./store.js").Store} store
 * @param {() => Promise<T>} work
 * @returns {Promise<T | null>} null when another tab is sending
 */
export async function oneSender(store, work) {
  if (navigator.locks) {
    return navigator.locks.request("bank-send", { ifAvailable: true }, (lock) =>
      lock ? work() : null);
  }
  const until = Date.now() + LEASE_MS;
  const taken = await store.metaSwap("sender", (row) =>
    row && row.tab !== ME && row.until > Date.now() ? null : { tab: ME, until });
  if (!taken) return null;
  try {
    return await work();
  } finally {
    await store.metaSwap("sender", (row) => (row?.tab === ME ? { tab: ME, until: 0 } : null));
  }
}
