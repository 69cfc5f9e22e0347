// @ts-check
/** The light a person chose; `look.js` of the pages shows it before the app is there, and keeps it. */

/** "" is what the phone itself asks for. */
export const lightNow = () => document.documentElement.dataset.light ?? "";

/** Tell `look.js` what was chosen. @param {string} light one of day, sun and night, or "" */
export function lightChoose(light) {
  document.dispatchEvent(new CustomEvent("light-chosen", { detail: light }));
}
