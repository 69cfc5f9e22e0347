// @ts-check
/** The words of the day at the peg: lines, feed and fish by one tap, who is next. */
export const dayWords = {
  lineTitle: "The line I am on now",
  line: (/** @type {string} */ line) => `${line} line`,
  lineNow: "now on the",
  lineNotKept: "The phone could not keep the line. It holds until you leave this screen.",

  again: "Again",
  first: "To begin with",
  otherLines: "On the other lines",

  fishTitle: "Fish",
  fishHelp: "One tap, one fish into the net. The weight is a guess by size.",
  sizes: { small: "small", middling: "middling", good: "good" },
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
};
