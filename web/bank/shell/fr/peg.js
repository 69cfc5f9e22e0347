// @ts-check
/** What a peg is like, in French. */
import { comma, count, decimal } from "./numbers.js";

/** @type {typeof import("../words-peg.js").pegWords} */
export const peg = {
  pegTitle: (n) => (n ? `Ma place, ${n}` : "Ma place"),
  flowTitle: "Courant, par passages du flotteur",
  flowHelp: "Laissez dériver un flotteur sur une distance mesurée. Démarrez quand il passe le premier repère, arrêtez au second.",
  runDistance: "Parcours du flotteur (cm)",
  watchStart: "Démarrer le chrono",
  watchStop: "Arrêter",
  watchSeconds: (s) => comma(`${s} s`),
  runOdd: "Ce n’était pas un passage : écrivez le parcours en centimètres entiers, et laissez dériver le flotteur plus d’une demi-seconde.",
  runKept: (speed) => comma(`Passage du flotteur ${speed} m/s`),
  flowMean: (speed) => comma(`${speed} m/s`),
  flowOf: (n) => `en surface, la moyenne de ${count(n, "passage", "passages")}`,
  flowSpread: (least, most) => comma(`de ${least} à ${most} m/s`),
  runText: (cm, s, speed) => comma(`${cm} cm en ${s} s : ${speed} m/s en surface`),
  typedTitle: "Chronométré autrement",
  runSeconds: "Temps (secondes)",
  runKeep: "Garder le passage",
  takeBack: "Reprendre",

  notesTitle: "Comment est la place",
  depth: "Profondeur (cm)",
  settles: "La ligne se pose à cette distance en aval (cm)",
  celsius: "Eau, en °C",
  snags: "Accrocs : quoi, et où",
  pegNote: "Autre chose",
  pegKeep: "Garder les notes",
  pegNoteKept: "Notes sur la place",
  pegNumbersBad: "Écrivez des centimètres entiers, et des °C de 0 à 30 avec une décimale au plus, ou laissez un champ vide. Écrivez au moins une chose.",
  depthText: (cm) => `Profondeur ${cm} cm`,
  settlesText: (cm, ms = undefined) =>
    `La ligne se pose ${cm} cm en aval${ms ? `, après ${decimal(ms / 1000, 1)} s` : ""}`,
  celsiusText: (tenths) => `Eau ${decimal(tenths / 10, 1)} °C`,
  snagsText: (what) => `Accrocs : ${what}`,
  toSwim: "Où cela tombe",

  beforeTitle: "Noté ici auparavant",
  beforeNone: "Ni vous ni votre équipe n’avez rien noté à cette place dans un concours précédent.",
  beforeBy: (date, who) => `${date}, ${who}`,
  venueSays: (cm) => `La liste du parcours dit ${cm} cm de profondeur.`,
};
