// @ts-check
/** A throw as the angler sees it, the wind, and what to change, in French. */
import { decimal } from "./numbers.js";

const metres = (/** @type {number} */ m) => `${decimal(Math.abs(m), 1)} m`;
const percent = (/** @type {number} */ part) => `${Math.round(part * 100)} %`;
const speed = (/** @type {number} */ v) => `${decimal(v, 2)} m/s`;
const QUARTERS = ["", "¼", "½", "¾"];

/** To a quarter of it. @param {number} n */
export function rods(n) {
  const quarters = Math.round(Math.abs(n) * 4);
  return `${Math.floor(quarters / 4) || (quarters % 4 ? "" : "0")}${QUARTERS[quarters % 4]}`;
}

const rodsSaid = (/** @type {number} */ n) =>
  `${rods(n)} ${Math.abs(n) < 1.875 ? "longueur de canne" : "longueurs de canne"}`;

/** To half an hour of the clock face. @param {number} hour */
function clock(hour) {
  const halves = Math.round(hour * 2);
  const before = Math.floor(halves / 2) || 12;
  return halves % 2 === 0 ? `à ${before} h` : `entre ${before} h et ${(before % 12) + 1} h`;
}

/** @type {typeof import("../words-throw.js").throwWords} */
export const throwing = {
  metres, percent, speed, rods,
  point({ rodsUpstream: up, rodsAcross: out, clock: hour }) {
    const level = Math.abs(up) < 0.125;
    const along = level ? "À votre hauteur" : `${rodsSaid(up)} ${up > 0 ? "en amont" : "en aval"}`;
    return `${along}, à ${rodsSaid(out)} du bord, ${clock(hour)} sur le cadran.`;
  },
  lies: (wide, near) =>
    `Neuf sur dix se posent sur ${metres(wide)}, ${percent(near)} à moins d’un demi-mètre de la ligne.`,
  onward: (m) =>
    `Passe devant les poissons à côté de la ligne et se pose au fond ${metres(m)} plus loin ${m < 0 ? "en amont" : "en aval"}.`,
  past: (long) =>
    `N’arrive pas au fond dans votre coup de ${metres(long)} : mettez-le en boules, ou amorcez où c’est plus lent.`,

  sideTitle: "De côté", aboveTitle: "D’en haut",
  keyThrow: "lancez cet appât ici", keyRig: "votre ligne entre ici", keySettles: "elle se pose, aux poissons",
  keyLies: "neuf sur dix se posent ici",
  you: "vous", river: "rivière", zero: "0 m",
  aboveSays: ({ stand, wind }, settles) =>
    `La rivière coule vers votre ${stand.flowsTo === "left" ? "gauche" : "droite"}. Votre ligne entre droit devant, à ${metres(stand.line)} `
    + `(${rodsSaid(stand.line / stand.rod)}), et se pose ${metres(settles)} ${settles < 0 ? "en amont" : "en aval"}.`
    + (wind.way === "none" ? "" : ` Un vent ${wind.way === "up" ? "remontant" : "descendant"} la rivière à ${wind.speed} m/s pousse la surface.`),
  standTitle: "Vous et le vent",
  flows: "La rivière coule vers votre", left: "gauche", right: "droite",
  line: "Votre ligne est à (m)", rod: "Votre canne (m)", long: "Longueur de votre coup (m)",
  numberBad: (least, most) =>
    `Écrivez des mètres, de ${least} à ${most}. Ce qui y était vaut encore.`,
  wind: "Le vent souffle le long de la rivière",
  winds: { none: "non", up: "vers l’amont", down: "vers l’aval" },
  windSpeed: "Vent", windLess: "Vent : moins", windMore: "Vent : plus",
  windHelp: "Chronométrez le flotteur pendant une accalmie : le vent vient en plus. Compté pour trois centièmes du vent en surface, moins d’un dixième de cela à 70 cm de fond (pratique courante).",
  windName(v) {
    const names = /** @type {[number, string][]} */ ([[1.5, "très légère brise"], [3.3, "légère brise"],
      [5.4, "petite brise"], [7.9, "jolie brise"], [10.7, "bonne brise"], [13.8, "vent frais"]]);
    return names.find(([most]) => v <= most)?.[1] ?? "grand frais";
  },

  working: "Calcul…",
  tightTitle: "Resserrer l’amorçage",
  tightFeed: "Appât",
  tightNow: (name, wide, near) =>
    `${name} tel quel : neuf sur dix sur ${metres(wide)}, ${percent(near)} à moins d’un demi-mètre de la ligne.`,
  ways: {
    closer: () => "Pêcher moitié moins loin",
    low: () => "Lancer bas, ou amorcer à la coupelle : moitié moins d’écart",
    heavier: ({ feed }, own) => feed.name === own
      ? "Un plus lourd qui coule une fois et demie plus vite" : `${feed.name} à la place`,
    balls: ({ feed }) => feed.name ? `${feed.name} à la place` : "En boules fermes de 80 mm",
    slack: ({ swim }) => `Attendre une eau calme, ${speed(swim.speed)}`,
  },
  gain: (wide, was, near) =>
    `neuf sur dix sur ${metres(wide)} au lieu de ${metres(was)}, ${percent(near)} près de la ligne`,
  noGain: (ways) => `N’y change presque rien : ${ways.join(" ; ").toLowerCase()}.`,
  tightNone: "Rien ici ne le resserre beaucoup.",

  compareTitle: "En vrac ou en boules",
  reach: (name, long, v) =>
    v === null ? `${name} : au fond en ${metres(long)} dans n’importe quelle rivière.`
      : v === 0 ? `${name} : le vent seul l’emporte au-delà de ${metres(long)}.`
      : `${name} : au fond en ${metres(long)} jusqu’à ${speed(v)}.`,
  compareSays: (name, long) =>
    `Jusqu’où va ${name}. Là où cela dépasse votre coup de ${metres(long)}, amorcez en boules.`,
  flow: "Courant", deep: (m) => `${decimal(m, 1)} m de fond`,
  now: "maintenant",
  uses: { loose: "en vrac", balls: "boules", neither: "ni l’un ni l’autre" },

  riseTitle: "Si la rivière monte",
  rise: (cm) => cm < 0 ? `${-cm} cm plus bas` : `${cm} cm plus haut`,
  riseMore: "10 cm plus haut", riseLess: "10 cm plus bas",
  riseSays: (depth, v) =>
    `Environ ${metres(depth)} de fond et ${speed(v)} en surface : estimation pour une rivière large et régulière. Sondez, chronométrez un flotteur et regardez de nouveau où se pose la ligne.`,
  riseFeed: "Appât", riseBefore: "Maintenant", riseAfter: "Alors",
  riseWhere: (m) => Math.abs(m) < 0.05 ? "avec la ligne" : `${metres(m)} ${m < 0 ? "en amont" : "en aval"}`,
  riseCare: "L’eau monte ou se teinte : reculez du bord, gardez votre sortie libre, n’entrez pas dans l’eau.",

  care: [
    "Regardez en l’air avant de lancer ou de reculer la canne : restez à 30 m des lignes électriques avec canne et fil.",
    "Lancez d’un sol ferme. N’entrez pas dans l’eau et ne vous penchez pas pour le dernier mètre ; les rives abruptes ou creusées cèdent.",
    "Avec une fronde, attention à qui se tient à côté et derrière vous.",
  ],
};
