// @ts-check
/** Times for people: in the venue's zone, by the phone's clock set right by the server's. */
import { locale } from "./language.js";
import { clockOffset } from "./net.js";

/** Now by the server's clock, in ms since 1970. */
export const nowRight = () => Date.now() + clockOffset();

/** Dear to make. @type {Map<string | undefined, Intl.DateTimeFormat>} */
const clocks = new Map();

/** "14:05" @param {string | number} at @param {string} [zone] */
export function timeText(at, zone) {
  const clock = clocks.get(zone) ?? new Intl.DateTimeFormat(locale(), {
    hour: "2-digit", minute: "2-digit", timeZone: zone,
  });
  clocks.set(zone, clock);
  return clock.format(new Date(at));
}

/** "Sat 20 June 2026" @param {string} date a local date */
export function dateText(date) {
  return new Intl.DateTimeFormat(locale(), {
    weekday: "short", day: "numeric", month: "long", year: "numeric", timeZone: "UTC",
  }).format(new Date(`${date}T00:00:00Z`));
}

/** Further off than this many days the date alone says more. */
const NEAR_DAYS = 14;

/** "tomorrow, Sat 20 June 2026": the date, and how near it is in the zone of the match.
 * @param {string} date a local date @param {string} [zone] the phone's own where none is known */
export function dayText(date, zone) {
  // This locale alone writes a date as programs do.
  const today = new Intl.DateTimeFormat("sv", { timeZone: zone }).format(nowRight());
  const away = Math.round((Date.parse(date) - Date.parse(today)) / 86_400_000);
  if (away < -1 || away > NEAR_DAYS) return dateText(date);
  const near = new Intl.RelativeTimeFormat(locale(), { numeric: "auto" }).format(away, "day");
  return `${near}, ${dateText(date)}`;
}

/** "2 d 3 h", "1:04:09", "4:09" @param {number} ms */
export function spanText(ms) {
  const all = Math.max(0, Math.floor(ms / 1000));
  const days = Math.floor(all / 86_400);
  const hours = Math.floor((all % 86_400) / 3_600);
  if (days) return `${days} d ${hours} h`;
  const two = (/** @type {number} */ n) => String(n).padStart(2, "0");
  const rest = `${two(Math.floor((all % 3_600) / 60))}:${two(all % 60)}`;
  return hours ? `${hours}:${rest}` : rest;
}

/** When the fact was logged, the phone's clock set right. @param {import("./facts.js").Fact} fact */
export function loggedAt(fact) {
  return Date.parse(fact.recorded_at) + fact.clock_offset_ms;
}

/**
 * In the order they were logged. What one phone wrote stands in the order of its numbers: its clock
 * is set right to a second only, and two taps can be closer than that.
 * @template {{fact: import("./facts.js").Fact}} T @param {T[]} known @returns {T[]}
 */
export function inTurn(known) {
  const lately = new Map();
  return [...known]
    .sort((a, b) => a.fact.seq - b.fact.seq)
    .map((k) => {
      const at = Math.max(loggedAt(k.fact), lately.get(k.fact.device) ?? -Infinity);
      lately.set(k.fact.device, at);
      return { k, at };
    })
    .sort((a, b) => a.at - b.at)
    .map(({ k }) => k);
}
