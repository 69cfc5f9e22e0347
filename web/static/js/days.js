// @ts-check
// How near a day is, before its date: "tomorrow, Saturday 20 June 2026". Worked out when the page
// is looked at, in the zone of the venue, so that a page kept over midnight is not wrong. Without
// this file, and on paper, the date stands alone.

const NEAR = 14;
const DAY_MS = 24 * 3_600_000;

/** "tomorrow", or nothing for a day that is not near; as `near_beside` on the server.
 * @param {string} day "2026-06-20" @param {string} zone @param {number} now @param {string} language */
export const nearText = (day, zone, now, language) => {
  // This locale alone writes a date as programs do.
  const today = new Intl.DateTimeFormat("sv", { timeZone: zone }).format(now);
  const away = Math.round((Date.parse(day) - Date.parse(today)) / DAY_MS);
  if (away < -1 || away > NEAR) return "";
  return new Intl.RelativeTimeFormat(language, { numeric: "auto" }).format(away, "day");
};

/** @param {HTMLElement} time */
const say = (time) => {
  const { near = "UTC" } = time.dataset;
  const text = nearText(time.getAttribute("datetime") ?? "", near, Date.now(), document.documentElement.lang);
  let before = time.querySelector(".no-print");
  if (!before) {
    before = document.createElement("span");
    before.className = "no-print";
    time.prepend(before);
  }
  before.textContent = text && `${text}, `;
};

const sayAll = () => {
  if (document.hidden) return;
  for (const time of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-near]"))) say(time);
};

if (globalThis.document) {
  sayAll();
  document.addEventListener("visibilitychange", sayAll);
}
