// @ts-check
// What is typed to narrow a list: words in any order, with capitals and accents as one, as
// `pages_narrowed` on the server reads them.

/** Letters without capitals and accents. @param {string} text */
export const plain = (text) => text.toLowerCase().normalize("NFD").replace(/\p{M}/gu, "");

/** Whether a text, made plain before, has each word that was typed.
 * @param {string} typed @returns {(text: string) => boolean} */
export const holds = (typed) => {
  const words = plain(typed).split(/\s+/);
  return (text) => words.every((word) => text.includes(word));
};
