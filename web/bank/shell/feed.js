// @ts-check
/**
 * Buttons for feed, and sums of what went in. Amounts are decimal strings, summed in whole
 * ten-thousandths, never as floating point.
 * @typedef {{bait: string, name: string, amount: string, unit: string, line: string,
 *   stage: number | null}} FeedButton
 */
const PARTS = 10_000n;

/**
 * One button for each bait, amount and line of the plan; what goes on the hook is not fed.
 * @param {any} plan @returns {FeedButton[]}
 */
export function planButtons(plan) {
  /** @type {Map<string, FeedButton>} */
  const buttons = new Map();
  (plan?.stages ?? []).forEach((/** @type {any} */ stage, /** @type {number} */ i) => {
    for (const feed of stage.kind === "hook" ? [] : stage.feeds) {
      const button = {
        bait: feed.bait, name: feed.name, amount: amountPlain(String(feed.amount)) ?? "0",
        unit: feed.unit, line: stage.line ?? "", stage: i,
      };
      const key = [button.bait, button.amount, button.unit, button.line].join("|");
      if (!buttons.has(key)) buttons.set(key, button);
    }
  });
  return [...buttons.values()];
}

/**
 * A typed amount as a plain decimal above zero with at most four decimals, or null.
 * @param {string} typed
 */
export function amountPlain(typed) {
  const text = typed.trim().replace(",", ".");
  if (!/^\d{1,6}(\.\d{1,4})?$/.test(text)) return null;
  const parts = partsOf(text);
  return parts > 0n ? partsText(parts) : null;
}

/** A decimal as ten-thousandths, exactly. @param {string} amount */
export function partsOf(amount) {
  const [whole, rest = ""] = amount.split(".");
  return BigInt(whole) * PARTS + BigInt(rest.padEnd(4, "0").slice(0, 4));
}

/** Ten-thousandths as the shortest decimal. @param {bigint} parts */
export function partsText(parts) {
  const rest = String(parts % PARTS).padStart(4, "0").replace(/0+$/, "");
  return rest ? `${parts / PARTS}.${rest}` : String(parts / PARTS);
}
