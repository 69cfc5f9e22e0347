// @ts-check
/** The words of how a phone suits the hand. */
import { said } from "./language.js";
export const feelWords = said("feel", {
  title: "In the hand",
  hand: "The thumb I tap with",
  hands: { right: "Right", left: "Left" },
  shake: "Buzz when something is kept",
  sound: "A short tone when something is kept",
  language: "Language",
  always: "The tick is always shown. A buzz or a tone only comes on top.",
  lightTitle: "Light of the screen",
  lightHelp: "Sun has larger letters and thicker lines. Night is dim and has little blue, so that eyes keep used to the dark.",
  lights: { "": "As the phone", day: "Day", sun: "Sun", night: "Night" },
});
