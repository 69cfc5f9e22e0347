// @ts-check
/**
 * Keep the screen on, where the phone allows it, until the answer is called. A phone lets go when
 * the page goes out of sight: coming back takes hold anew.
 * @returns {() => void}
 */
export function awakeKeep() {
  let wanted = true;
  /** @type {WakeLockSentinel | null} */
  let lock = null;
  const take = async () => {
    if (!wanted || document.visibilityState !== "visible") return;
    const got = (await navigator.wakeLock?.request("screen").catch(() => null)) ?? null;
    if (wanted) lock = got;
    else void got?.release().catch(() => null);
  };
  document.addEventListener("visibilitychange", take);
  void take();
  return () => {
    wanted = false;
    document.removeEventListener("visibilitychange", take);
    void lock?.release().catch(() => null);
  };
}
