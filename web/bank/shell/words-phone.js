// @ts-check
/** The words of a file read in on this phone. */
import { said } from "./language.js";

export const phoneWords = said("phone", {
  fileTaken: (/** @type {number} */ n) => `${n} ${n === 1 ? "fact" : "facts"} taken in from the file.`,
  fileDiffers: (/** @type {number} */ n) =>
    `${n} of the file ${n === 1 ? "differs" : "differ"} from the same on this phone: the file was changed since it was saved. What is on this phone stays as it is.`,
  fileSpoiled: (/** @type {number} */ n) =>
    `${n} in the file cannot be read and ${n === 1 ? "was" : "were"} left there: log ${n === 1 ? "it" : "them"} again.`,
  fileBad: "This file was not saved by this app, or it is damaged. Nothing was changed.",
  fileOthers: (/** @type {string} */ who) =>
    `This file holds what ${who || "somebody else"} logged. Only they can read it in, signed in as themselves. Nothing was changed.`,
});
