// @ts-check
/** Every word the app shows, in one place; `fr/` has the same in French. */
import { numeral, said, singular } from "./language.js";
import { besideText } from "./measures.js";

/** A number with its noun. @param {number} n @param {string} one @param {string} many */
export const count = (n, one, many) => `${n} ${n === 1 ? one : many}`;

export const words = said("shared", {
  app: "Drawbag",
  back: "Back",
  light: "Sun light",

  // The head: what is kept, sent, refused, and the signal.
  keptHere: "kept here",
  sent: "sent",
  refused: "refused",
  signal: {
    unknown: "looking",
    ok: "signal",
    no_signal: "no signal",
    sign_in: "sign in",
    busy: "server busy",
    refused: "not taken",
    other_person: "other person",
  },
  noAnswer: "no answer",
  sending: "sending",
  countsTitle: "What is on this phone",
  troubleTitle: "This phone's storage does not answer",
  trouble: "What was kept is still on the disk. Close other tabs of this app and open it again.",

  // Signing in.
  signInNeeded: "Sign in to send what is kept here. Nothing is lost meanwhile.",
  signIn: "Sign in",
  signInFirst: "Sign in once while you have signal. After that the app opens without it.",
  firstNoSignal: "There is no signal yet. Find some once, sign in, and the app is ready for the bank.",

  // A newer version.
  newer: "A new version is ready.",
  newerUse: "Use it now",

  // What comes after the first load.
  opening: "Opening the bag…",
  partComing: "Fetching this part…",
  partMissing: "This part is not on the phone yet: it comes with the next signal.",
  tryAgain: "Try again",

  // Keeping.
  kept: "kept",
  undo: "Undo",
  undone: "Taken back",
  notKept: "Not kept. The phone could not write to its disk. What you typed is still here: try again, or put it on paper.",
  nobody: "Nobody is signed in on this phone. Sign in first; what you typed is still here.",

  // Matches.
  matchesTitle: "Your matches",
  matchesNone: "No match of your clubs is on this phone yet. Open this page once with signal.",
  matchesNoneYet: "Your clubs have no match in hand. Once the secretary plans one, it comes here by itself.",
  matchOnPhone: "on this phone",
  matchNotHere: "This match is not on the phone yet. It comes down as soon as there is signal.",
  installTitle: "Put it on your home screen",
  install: "From the browser's menu, before the first match. Some phones empty sites that lie idle for seven days, and an installed app keeps its own storage. A private window forgets all of it when it is closed.",
  installDone: "Done, or not now",
  states: {
    planned: "planned", drawn: "drawn", weighing: "weighing", provisional: "provisional",
    confirmed: "confirmed",
  },

  // The match.
  yourPeg: "Your peg",
  section: (/** @type {string} */ label) => `Section ${label}`,
  sections: "Sections",
  peg: (/** @type {string} */ n) => `Peg ${n}`,
  noPeg: "You have no peg drawn in this match.",
  clockTitle: "Signals of the day",
  until: (/** @type {string} */ name) => `${name} in`,
  over: "Time is up",
  overSince: (/** @type {string} */ time) => `since ${time}`,
  signalNames: {
    draw: "Draw", prepare: "Prepare", feed: "Feed", start: "Start", last_call: "Last call",
    end: "All out",
  },
  calledOff: "Called off",
  signals: {
    start: "Start sounded", five_minutes: "Last call sounded", end: "All out sounded",
  },
  goWeigh: "Weigh in",
  goFeed: "Log feed",
  goPlan: "My plan",
  goPass: "Pass on by camera",
  goBoard: "Results",
  boardLater: "Results: once there is signal",
  cautions: "Take care",
  river: (/** @type {number} */ n) => `The bank: ${count(n, "peg", "pegs")} in a row. Filled ones are weighed, the ringed one is yours.`,
  fetched: (/** @type {string} */ time) => `As of ${time}`,

  // Weighing.
  weighTitle: "Weigh in",
  weighOf: (/** @type {number} */ done, /** @type {number} */ all) => `${done} of ${all} drawn pegs weighed`,
  mySection: "My section",
  emptyPeg: "nobody drawn",
  toWeigh: "to weigh",
  disputed: "to settle",
  weighedBy: (/** @type {string} */ names) => `weighed by ${names}`,
  netNumber: (/** @type {number} */ n) => `Net ${n}`,
  netNext: "Another net",
  notTyped: "Type the weight",
  blank: "a blank",
  save: "Keep it",
  saveChange: "Keep the correction",
  agrees: (/** @type {string} */ name) => `${name} agrees`,
  unusualTitle: "Is that right?",
  unusual: (/** @type {string} */ w) => `${w} is far above what is usual here. Look at the scales again.`,
  unusualYes: "Yes, keep it",
  unusualNo: "Type it again",
  correcting: (/** @type {string} */ w) => `Kept before: ${w}. What you type now corrects it; both stay on record.`,
  reweigh: "Weighed again because somebody asked: it replaces the first, even if lower",
  keptToSettle: "kept here, to be settled",
  besides: (/** @type {string} */ w, /** @type {string} */ who) => `${w} was weighed${who ? ` by ${who}` : ""} and stands. What you type is kept beside it, and the secretary settles which counts.`,
  afterConfirmed: "The result is confirmed. What you keep now counts only once the secretary settles it.",
  toBeSettled: "to be settled",
  noWeight: (/** @type {string} */ most, /** @type {string} */ unit) =>
    `This is no weight: ${unit === "dr" ? "ounces and drams go from 0 to 15, and " : ""}${most} is the most. Nothing is kept yet; type it again.`,
  capRule: (/** @type {string} */ cap, /** @type {string} */ counts) => `A net over ${cap} counts ${counts}.`,
  capNothing: "nothing",
  counts: (/** @type {string} */ w) => `counts ${w}`,
  netFishTitle: "Fish in this net",
  fishGo: "Count the fish",
  netFishMore: (/** @type {string} */ name) => `One ${name} more`,
  netFishLess: (/** @type {string} */ name) => `One ${name} less`,
  fishTold: (/** @type {number} */ n, /** @type {number} */ points) => `${n} fish, ${points} ${points === 1 ? "point" : "points"}`,
  fishMissing: "fish not counted",
  fishSkip: "Keep it without a count",
  netFishBack: "Back to the weight",
  mayNotWeigh: "You can log your own peg. For others, ask the secretary to make you a weigher of this match.",
  clear: "Clear",
  deleteDigit: "Delete the last digit",
  keyNames: { lb: "pounds", oz: "ounces", dr: "drams" },

  // Feed.
  feedTitle: "Log feed",
  feedNoPlan: "No plan, so no buttons yet. Make the ones you need below.",

  fishBack: (/** @type {string} */ species) => `Take back the last ${species}`,

  fileSave: "Save the unsent to a file",
  fileRead: "Read a saved file back in",
  lost: "There is no page here.",
  toMatches: "To your matches",
});

/** The words of the day at the peg: lines, feed and fish by one tap, who is next. */
export const dayWords = said("day", {
  lineTitle: "The line I am on now",
  line: (/** @type {string} */ line) => `${line} line`,
  lineNow: "now on the",
  lineTaken: (/** @type {string} */ line) => (line ? `Now on the ${line} line` : "Now on the other line"),
  lineNotKept: "The phone could not keep the line. It holds until you leave this screen.",

  again: "Again",
  first: "To begin with",
  otherLines: "On the other lines",

  fishTitle: "Fish",
  fishHelp: "One tap, one fish into the net. The weight is a guess by size.",
  sizes: { small: "small", middling: "middling", good: "good" },
  species: {
    roach: "roach", skimmer: "skimmer", bream: "bream", perch: "perch", chub: "chub", dace: "dace",
    bleak: "bleak", gudgeon: "gudgeon", other: "other",
  },
  fishKey: (/** @type {string} */ species, /** @type {string} */ size, /** @type {string} */ about, /** @type {number} */ n) =>
    `${species}, ${size}${about ? `, about ${about}` : ""}: ${n}`,
  fishKept: (/** @type {string} */ species, /** @type {string} */ size) => `${size} ${species}`,

  nextAlong: "Next along",
  nextNet: "Another net",
  allWeighed: "All drawn pegs are weighed, as far as this phone knows.",

  goFish: "Fish",
  goPeg: "My peg",
  goSection: "My section",
  goCare: "Lightning, flood, lines: what to do",
  powerLines: "Power lines at your peg. Keep pole and line at least 30 m away from them.",
  steepBank: "Steep bank at your peg. Sit back from the edge, and leave the net to two people.",
  careLocal: "The organiser's and the water's own rules come first.",
});

/** A species as it is said: the usual ones in the language, any other as it was written. @param {string} name */
export const fishNamed = (name) => /** @type {Record<string, string>} */ (dayWords.species)[name] ?? name;

/** @type {Record<string, string>} */
export const units = said("units", {
  L: "L", ml: "ml", pint: "pint", kg: "kg", g: "g", lb: "lb", oz: "oz", each: "each",
  pinch: "pinch", handful: "handful", pouch: "pouch", bag: "bag",
});

/** @type {Record<string, string>} */
const many = said("many", {
  pint: "pints", pinch: "pinches", handful: "handfuls", pouch: "pouches", bag: "bags",
});

/** "2.5 pints", without noughts at its end. @param {string} amount @param {string} unit */
export function amountText(amount, unit) {
  const plain = amount.includes(".") ? amount.replace(/\.?0+$/, "") : amount;
  const name = (singular(plain) ? null : many[unit]) ?? units[unit] ?? unit;
  return unit === "each" ? numeral(plain) : `${numeral(plain)} ${name}`;
}

/** An amount with the other measure beside it, for who chose so. @param {string} amount @param {string} unit */
export const amountBoth = (amount, unit) => amountText(amount, unit) + besideText(Number(amount), unit);

/** An amount to two places, rounded up as the desk says it. @param {string} amount @param {string} unit */
export function amountUpText(amount, unit) {
  const [whole, rest = ""] = amount.split(".");
  const more = /[1-9]/.test(rest.slice(2)) ? 1n : 0n;
  const hundredths = BigInt(whole + rest.padEnd(2, "0").slice(0, 2)) + more;
  const cut = String(hundredths % 100n).padStart(2, "0");
  return amountBoth(`${hundredths / 100n}.${cut}`, unit);
}
