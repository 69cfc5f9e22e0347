// @ts-check
/** Where each feed goes in, in French. */
import { comma, count, decimal } from "./numbers.js";

const metres = (/** @type {number} */ m) => `${decimal(Math.abs(m), 1)} m`;

/** @type {typeof import("../words-swim.js").swimWords} */
export const swim = {
  title: "Où cela tombe",
  help: "Lancez chaque appât à cette distance de l’entrée de votre ligne, et il se pose là où se pose la ligne.",
  where: (m) =>
    Math.abs(m) < 0.05 ? "là où entre la ligne" : `${metres(m)} ${m < 0 ? "en amont" : "en aval"}`,
  falls: (s, m) => `Coule pendant ${s < 10 ? decimal(s, 1) : Math.round(s)} s, emporté de ${metres(m)}.`,
  guessed: "Vitesse de chute donnée de mémoire : chronométrez la vôtre dans un bocal.",
  measured: (n) => `Chronométré au bocal, ${count(n, "chute", "chutes")}.`,
  balls: (mm) => `Boules de ${mm} mm`,
  ballsGuessed: "Poids d’une boule ferme avec de la terre, de mémoire.",
  usual: [{ name: "Chènevis" }, { name: "Caster" }, { name: "Asticot" }],
  pictureSays: (depth, speed) =>
    comma(`${depth} m de profondeur, ${speed} m/s en surface et plus lent vers le fond.`),
  fishUp: (m) => `Les poissons sont à ${metres(m)} sous la surface.`,
  fishDown: "Les poissons sont au fond.",
  deeper: "dessiné plus profond qu’en vrai",
  ruler: "Les mètres sont comptés depuis l’entrée de la ligne.",
  swimTitle: "Le coup",
  depth: "Profondeur",
  speed: "Vitesse d’un flotteur",
  settles: "La ligne se pose, en aval",
  fish: "Les poissons sont, sous la surface",
  celsius: "Eau",
  odd: (label, noted, used) =>
    comma(`${label} : vos notes de place disent ${noted}, ce qu’aucun coup n’a. Calculé avec ${used} ; notez-le à nouveau.`),
  more: (label) => `${label} : plus`,
  less: (label) => `${label} : moins`,
  fromPeg: "La profondeur, les passages du flotteur et l’endroit où se pose la ligne viennent de vos notes de place.",
  noNotes: "Ce n’est que pour commencer. Sondez, chronométrez un flotteur et réglez ici.",
  again: "Reprendre les notes de place",
  notKept: "Le téléphone n’a pas pu le garder. Cela vaut jusqu’à ce que vous quittiez la page.",
  rough: "Pendant que vous glissez, la largeur de l’amorçage est dite d’après un quart de l’échantillon.",
  honest: "Calculé pour une rivière régulière, sans herbes ni remous. L’endroit des touches en dit plus.",
};
