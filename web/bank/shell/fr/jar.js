// @ts-check
/** Jar tests, the rig's watch, and throws that are kept, in French. */
import { comma, count, decimal } from "./numbers.js";
import { rods } from "./throwing.js";

const metres = (/** @type {number} */ cm) => decimal(Math.abs(cm) / 100, 1);

/** @type {typeof import("../words-jar.js").jarWords} */
export const jar = {
  title: "Chronométrer un appât dans un bocal",
  help: "Remplissez un grand bocal à la rivière. Laissez-en tomber un, démarrez quand il quitte la surface, arrêtez au fond.",
  feed: "Appât",
  deep: "Eau dans le bocal (cm)",
  start: "Lâché : démarrer",
  stop: "Au fond : arrêter",
  floats: "Il flotte",
  odd: {
    jar: "Écrivez la hauteur d’eau dans le bocal : de 5 à 200 centimètres entiers.",
    quick: "C’est trop rapide pour une chute dans l’eau. Recommencez ; rien n’a été gardé.",
    long: "Dix minutes dans un bocal ne sont pas une chute. S’il y reste suspendu, dites qu’il flotte ; rien n’a été gardé.",
    speed: "Aucun appât ne coule à cette vitesse. Mesurez de nouveau l’eau du bocal ; rien n’a été gardé.",
  },
  dropKept: (name, s) => comma(`${name}, ${s} s dans le bocal`),
  floatKept: (name) => `${name} flotte`,
  dropText: (s, cm) => comma(`${cm} cm en ${s} s`),
  dropFloats: "flotte",
  takeBack: "Reprendre",
  speed: (cm) => comma(`${cm} cm/s`),
  of: (n) => `la moyenne de ${count(n, "chute", "chutes")}`,
  ofOne: "une chute",
  spread: (least, most) => comma(`de ${least} à ${most} cm/s`),
  more: (n) => `${count(n, "chute de plus dirait", "chutes de plus diraient")} de combien chacune s’écarte.`,
  apart: "Ces chutes sont très différentes. L’une a-t-elle touché le verre, ou était-ce un autre appât ? Reprenez celle-là.",
  enough: "Cent chutes suffisent : les cent dernières comptent.",
  allFloat: "Il flotte : il n’arrive jamais jusqu’aux poissons. Lestez-le dans une boule, ou laissez-le hors du coup.",
  someFloat: (n) => `${count(n, "chute a flotté et est laissée", "chutes ont flotté et sont laissées")} de côté.`,
  countsTitle: "Quel essai compte",
  rule: "L’essai le plus récent d’au moins trois chutes compte ; tant qu’il n’y en a pas, celui qui a le plus de chutes. Le même jour, le plus de chutes, puis le vôtre.",
  by: (who, when, n) => `${who}, ${when}, ${count(n, "chute", "chutes")}`,
  counts: "compte",
  asideNow: "laissé de côté",
  leave: "Laisser de côté",
  useAgain: "L’utiliser à nouveau",
  asideKept: (who) => `Essai de ${who} laissé de côté`,
  againKept: (who) => `Essai de ${who} utilisé à nouveau`,
  nobody: "Personne n’a encore chronométré cet appât : sa vitesse de chute est donnée de mémoire.",
  measuredBy: (said) => `Chronométré au bocal : ${said}.`,
  floatsOut: (names) => `Flotte, donc n’arrive jamais au fond : ${names}.`,

  rigTitle: "Où la ligne se pose",
  rigHelp: "Posez la ligne droit devant vous. Démarrez quand elle entre, arrêtez quand elle pend immobile.",
  rigStart: "La ligne est à l’eau : démarrer",
  rigStop: "Elle est posée : arrêter",
  rigWhere: (s) => comma(`Elle s’est posée après ${s} s. À quelle distance en aval de son entrée ?`),
  rigGuess: "Autant que dérive un flotteur dans ce temps ; corrigez.",
  rigLess: "Un demi-mètre de moins",
  rigMore: "Un demi-mètre de plus",
  rigKeep: "Garder",
  rigForget: "Oublier",
  rigKept: (m) => comma(`La ligne se pose ${m} m en aval`),
  rigOdd: "C’est trop rapide pour qu’une ligne se pose. Recommencez ; rien n’a été gardé.",
  after: (s) => comma(`après ${s} s`),

  throwKeep: "Garder ce lancer",
  throwInstead: "Garder celui-ci à la place",
  throwKept: (said) => `Gardé : ${said}`,
  throwOf: (name, said) => `${name} ${said}`,
  throwLost: "L’enlever",
  throwShort: ({ upstream_cm: up, out_cm: out }) =>
    `${metres(up)} m ${up < 0 ? "aval" : "amont"}${out == null ? "" : ` · à ${metres(out)} m`}`,
  throwLong: ({ upstream_cm: up, out_cm: out, rod_cm: rod }) => {
    const way = up < 0 ? "en aval" : "en amont";
    const far = out == null ? "" : `, à ${metres(out)} m`;
    const long = !rod ? "" : ` (${[up, ...(out == null ? [] : [out])].map((cm) => rods(cm / rod)).join(" et ")} longueurs de canne)`;
    return `${metres(up)} m ${way}${far}${long}`;
  },
  throwsTitle: "Où je lance",
};
