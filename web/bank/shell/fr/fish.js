// @ts-check
/** What a catch comes to at a guess, in French. */
import { comma, count } from "./numbers.js";

/** @type {typeof import("../words-fish.js").fishWords} */
export const fish = {
  guess: (weight) => `Environ ${weight}`,
  guessIs: (n) => `estimation d’après ${count(n, "poisson", "poissons")}`,
  guessWithout: (n) => `${count(n, "poisson", "poissons")} de poids inconnu, non compris`,
  pace: (weight) => `${weight} à l’heure à présent`,
  paceSoon: "Rythme : après dix minutes",
  needed: (weight, target) => `il faut ${weight} à l’heure pour ${target}`,
  targetThere: (target) => `${target} y sont, à vue de nez`,
  linesTitle: "Quel coup rapporte le plus",
  lineRate: (line, perHour, low, high) => comma(`${line} : ${perHour} poissons à l’heure (${low} à ${high})`),
  lineBetter: (line, chance) => `${line} est le meilleur en poids, ${chance} chances sur 100.`,
  lineUnsure: "On ne peut pas encore dire lequel est le meilleur en poids.",
  targetTitle: "Le poids que je vise, et mes tailles de poissons",
  target: { g: "Poids visé (grammes)", dr: "Poids visé (drachmes, 256 par livre)" },
  sizesHelp: "Ce que pèse d’ordinaire ici un poisson de chaque taille, en grammes. Les premiers chiffres viennent de longueurs et de poids publiés et de mémoire ; les vôtres passent avant.",
  sizeOf: (species, size) => `${species}, ${size} (g)`,
  sizesKeep: "Garder ceux-ci",
  sizesBad: "Écrivez des grammes entiers, ou laissez un champ vide.",
  sizesKept: "Gardé sur ce téléphone.",
};
