// @ts-check
/** The words of passing on from phone to phone. */
import { said } from "./language.js";
import { count } from "./words.js";

export const passWords = said("pass", {
  title: "Pass on",
  how: "Two phones and no signal: one shows, the other reads with its camera. What is read stays its writer's, and both phones keep it.",
  showUnsent: "Show what is unsent here",
  showUnsentHelp: "So that a mate's phone brings it to the server, should yours stay without signal.",
  showAll: "Show all that is known of the match",
  showAllHelp: "So that another weigher goes on with the next peg: both phones then know what is weighed.",
  readIt: "Read from a mate's phone",
  nothing: "Nothing is unsent here for this match.",
  whichMatch: "Which match?",
  noMatch: "No match is on this phone yet.",

  // Showing.
  showTitle: "Hold this before the other phone's camera",
  showHelp: "Turn your screen up bright and hold both phones still, a hand's length apart. The codes go round until the other phone has them all.",
  code: "A code for the other phone's camera",
  codeOf: (/** @type {number} */ n, /** @type {number} */ all) => `${n} of ${all}`,
  pause: "Pause",
  goOn: "Go on",
  codeBefore: "The code before",
  codeNext: "The next code",
  tooMuch: "This is too much for codes on a screen. Save it as a file, and send that to the other phone.",
  fileSave: "Save it as a file",
  done: "Done",

  // Reading.
  askTitle: "The camera reads the codes",
  ask: "The phone will ask whether this app may use its camera. The pictures are looked at here and kept nowhere.",
  cameraOpen: "Open the camera",
  camera: "What the camera sees",
  looking: "Looking for the other phone's code…",
  read: (/** @type {number} */ n, /** @type {number} */ all) => `${n} of ${count(all, "code", "codes")} read`,
  cameraRefused: "This app may not use the camera. Allow it in the phone's settings for this site, or take it in from a file that the other phone saves.",
  cameraNone: "No camera answers on this phone. Take it in from a file that the other phone saves.",
  fileRead: "Take it in from a file",
  wrong: {
    other: "That code is not from this app's “Pass on”. An invitation or another link opens with the phone's own camera app.",
    newer: "The other phone has a newer version of this app. Update this one while there is signal, or pass it on as a file.",
    damaged: "That code could not be read right. Hold still; it comes round again.",
  },
  notWhole: "The codes did not make one whole. Begin anew; nothing was taken in.",

  // What came of it.
  takenTitle: "What was read",
  taken: (/** @type {number} */ n) => `${count(n, "fact is", "facts are")} new on this phone`,
  known: (/** @type {number} */ n) => `${count(n, "fact was", "facts were")} here already`,
  from: (/** @type {string} */ who) => `From ${who}`,
  refused: (/** @type {number} */ n) => `${count(n, "fact was", "facts were")} not taken in:`,
  nothingTaken: "Nothing was taken in:",
  again: "Read another",
  toWeigh: "To the pegs",
});
