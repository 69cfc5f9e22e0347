// @ts-check
/**
 * One run for a flurry of calls: those that come while the work runs are served by one more run.
 * @param {() => Promise<void>} work
 * @returns {() => Promise<void>}
 */
export function flurry(work) {
  let running = false;
  let stale = false;
  return async () => {
    stale = true;
    if (running) return;
    running = true;
    try {
      while (stale) {
        stale = false;
        await work();
      }
    } finally {
      running = false;
    }
  };
}
