// @ts-check
/**
 * The language this phone speaks: chosen on it, else the person's own from the desk, else what the
 * browser asks for. English is in the words themselves; another language lies over it, and is there
 * before the first screen is. What is chosen counts from the next opening.
 */

/** As who speaks it calls it. @type {Record<string, string>} */
export const LANGUAGES = { "en-GB": "English", fr: "Français" };
const HERE = "language";
const OF_PERSON = "language-desk";

/** @param {string} key */
function kept(key) {
  try {
    return localStorage.getItem(key) ?? "";
  } catch {
    return "";
  }
}

/** @param {string} key @param {string} value */
function keep(key, value) {
  try {
    localStorage.setItem(key, value);
  } catch {
    // A private window speaks as the browser does.
  }
}

/** @returns {string} a key of LANGUAGES */
function wanted() {
  const asked = [kept(HERE), kept(OF_PERSON), ...(globalThis.navigator?.languages ?? [])];
  for (const one of asked) {
    if (one in LANGUAGES) return one;
    const found = Object.keys(LANGUAGES).find((key) => one && key.slice(0, 2) === one.slice(0, 2));
    if (found) return found;
  }
  return "en-GB";
}

let spoken = "en-GB";
/** @type {Record<string, object>} */
let over = {};

/** For Intl, and for the page's own `lang`. */
export const locale = () => spoken;

/** Begin to speak as is wanted. Without the words, as on a first opening whose signal broke, it is
 * English this time. */
export async function languageBegin() {
  if (wanted() === "fr") {
    await import("./fr/all.js").then(({ all }) => languageSet("fr", all), () => null);
  }
  document.documentElement.lang = spoken;
}

/**
 * What the app speaks from now on.
 * @param {string} language @param {Record<string, object>} words by the name of their group
 */
export function languageSet(language, words) {
  spoken = language;
  over = words;
}

/** A choice made on this phone. @param {string} language a key of LANGUAGES */
export function languageChoose(language) {
  keep(HERE, language);
}

/** What the person chose at the desk; "" for nothing. @param {string} language */
export function languageOfPerson(language) {
  const found = Object.keys(LANGUAGES).find((key) => key.toLowerCase() === language) ?? "";
  if (found !== kept(OF_PERSON)) keep(OF_PERSON, found);
}

/** A group of words as they are said now. @template {object} T @param {string} group
 * @param {T} english @returns {T} */
export const said = (group, english) => ({ ...english, ...over[group] });

/** A number's text with the sign for decimals of the language. @param {string} text */
export const numeral = (text) => (spoken === "fr" ? text.replace(/(\d)\.(\d)/g, "$1,$2") : text);

/** Whether that much is said in the singular: in French all below two. @param {string} amount */
export const singular = (amount) => (spoken === "fr" ? Number(amount) < 2 : amount === "1");
