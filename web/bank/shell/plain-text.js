// @ts-check
/**
 * Whether the server keeps a text as it is: no control but tab and line ends, nothing that turns
 * the text round it (UAX #9, 2.1 to 2.5), no half a character.
 * @param {string} text
 */
export const isPlain = (text) => !UNSTORABLE.test(text);

const UNSTORABLE = /[\0-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]|\p{Surrogate}/u;

export const plainWords = {
  odd: "This text holds a character that cannot be stored: write it anew.",
};
