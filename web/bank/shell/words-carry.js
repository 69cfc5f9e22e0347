// @ts-check
/** The words of carrying facts from phone to phone. */
import { said } from "./language.js";
import { count } from "./words.js";

export const carryWords = said("carry", {
  // What cannot be handed over, or taken.
  nobody: "Nobody is signed in on this phone. Sign in first.",
  cannot: "This phone's browser can keep no key, so it cannot hand over facts. What is kept here goes out with the next signal, or as a file that you read in yourself.",
  notJoined: "This phone has not joined yet: it needs signal once, signed in. Then it can hand over facts.",
  revoked: "This phone was taken off your list at the desk, so it hands over nothing.",
  notOurs: "This is nothing this app hands over, or it is damaged. Nothing was changed.",
  unsigned: "The phone it is from could not sign it: only its person can read it in, signed in as themselves. Nothing was changed.",
  newer: "The other phone has a newer version of this app. Update this one while there is signal.",
  packed: "This phone's browser cannot unpack it. Read it in on another phone.",
  tooLarge: "This is more than one phone hands over. Nothing was changed.",
  otherClub: "This is of a match that is not among your clubs' matches. Nothing was changed.",
  altered: "It is not what its phone signed: it was changed on the way.",
  otherPhone: "It names a phone that is somebody else's.",
  spoiled: "It is not as this app writes it.",

  // What this phone carries.
  carriedTitle: (/** @type {number} */ n) => n ? `Carrying ${n} for others` : "Nothing to carry for others",
  carriedHelp: "From mates' phones without signal. They go out with yours and stay theirs.",
  carryingFor: (/** @type {number} */ n, /** @type {string} */ who) => `carrying ${n} for ${who}`,
  refusedTitle: (/** @type {number} */ n) => `${count(n, "carried fact", "carried facts")} refused`,
  refusedHelp: "The phones they are from still have them: tell their people.",
  refusedFor: (/** @type {number} */ n, /** @type {string} */ who) => `${n} of ${who}`,
  ownSent: "All of yours is sent. What you carry for others is not yet.",
  signOutCarrying: (/** @type {number} */ n) => `${count(n, "fact", "facts")} carried for others ${n === 1 ? "is" : "are"} not sent yet. Signed out, this phone sends nothing until somebody of their club signs in here.`,
  again: "Send again",
  putAside: "Put aside",

  // This phone's own key.
  joined: "This phone can hand what is kept here to a mate's phone.",
  renew: "Let it hand over again",

  // A mate's file.
  taken: (/** @type {number} */ n) => `${count(n, "fact", "facts")} taken in to carry.`,
  known: (/** @type {number} */ n) => `${n} known here already.`,
  notTaken: (/** @type {number} */ n) => `${n} not taken:`,
});
