// @ts-check
/**
 * By how much the phone's clock is off, kept on the phone: an app that starts without signal goes
 * on with what was last measured, and its facts say so.
 */
import { clockOffset, clockRecall, clockWasMeasured } from "./net.js";

const KEY = "clock";

/** @typedef {Pick<import("./store.js").Store, "metaGet" | "metaPut">} Meta */

/** A storage that does not answer is told of elsewhere, and holds up nothing here. */
const nothing = () => null;

/** Begin with the server's clock as an earlier start measured it. @param {Meta} store */
export async function clockTake(store) {
  const kept = await store.metaGet(KEY).catch(nothing);
  // Earlier than when it was measured: the clock was set since, nobody knows by how much.
  if (kept && kept.at <= Date.now()) clockRecall(kept.offset);
}

/** Keep what was measured for the next start. @param {Meta} store */
export async function clockKeep(store) {
  if (!clockWasMeasured()) return;
  await store.metaPut(KEY, { offset: clockOffset(), at: Date.now() }).catch(nothing);
}
