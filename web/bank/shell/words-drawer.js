// @ts-check
/** The words of what is on this phone: kept, refused, to settle, and signing out. */
import { said } from "./language.js";
import { count } from "./words.js";

export const drawerWords = said("drawer", {
  phoneTitle: "On this phone",
  phoneEmpty: "Everything is sent.",
  sendNow: "Send now",
  keptTitle: (/** @type {number} */ n) => `${count(n, "fact", "facts")} kept here, not sent yet`,
  refusedTitle: (/** @type {number} */ n) => `${count(n, "fact", "facts")} refused`,
  refusedHelp: "The server will not take these as they are. Read why, log it again the right way, then put the refused one aside.",
  putAside: "Put aside",
  disputeTitle: (/** @type {number} */ n) => `${count(n, "fact", "facts")} to settle`,
  disputeHelp: "Somebody logged it differently. Both are kept; the secretary settles it.",
  unreadable: (/** @type {string} */ body) => `not as this app writes it: ${body}`,
  disputeWith: (/** @type {string} */ who) => `Differs from what ${who} logged`,
  clashed: "Had the same number as another fact, so it got a new one.",
  version: (/** @type {string} */ build) => `Version ${build}`,
  signedInAs: (/** @type {string} */ name) => `Signed in as ${name}`,
  signOut: "Sign out",
  signOutUnsent: (/** @type {number} */ n) => `${count(n, "fact is", "facts are")} not sent yet. Save the file first, or stay signed in until there is signal. Nobody else who signs in here can see or send what is yours.`,
  signOutSure: "Sign out all the same",
  signOutStay: "Stay signed in",
  signOutFailed: "Signing out needs signal. Nothing was changed.",
  desk: "To the desk",

  kinds: {
    weigh_in: "Weigh-in", feed_note: "Feed", fish_note: "Fish", peg_note: "Peg note", line_note: "Line",
    feed_test: "Jar test", feed_throw: "Throw",
    signal: "Signal", scratch: "Taken back", ruling: "Ruling",
  },
  andMore: (/** @type {number} */ n) => `And ${n} more. A saved file holds them all.`,
});
