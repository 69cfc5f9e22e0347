// @ts-check
/** A match's signals, limits and team, in French. */

/** @type {typeof import("../words-match.js").matchWords} */
export const match = {
  signalButtons: { start: "Début", five_minutes: "Dernier appel", end: "Fin de pêche" },
  signalsTitle: "Signaux",
  signalsHelp: "Touchez au moment où il retentit, pour que chaque téléphone le montre.",

  limits: "Limites d’appâts",
  limitGroundbait: (l) => `${l} d’amorce, de terre et de graines`,
  limitBait: (l) => `${l} d’appâts animaux`,
  limitPart: (name, l) => `${name} : ${l}`,
  limitForbidden: (name) => `${name} : interdit`,
  limitMine: (l) => `votre plan ${l}`,
  limitWithin: "dans la limite",
  limitOver: "au-dessus",
  limitUnjudged: "on ne peut pas en juger",
  limitNone: "Ce concours ne fixe aucune limite d’appâts.",
  limitSource: (source) => `Source : ${source}`,
  limitLocal: "Le règlement du jour passe d’abord.",

  teamMates: "Votre équipe au bord de l’eau",

  signalNext: "prochain",
  given: (planned) => `donné, prévu à ${planned}`,
  venueTime: (venue) => `Heures de ${venue}.`,
  timesChanged: "Les heures ont changé",
  timeWas: (name, now, was) =>
    now === null ? `${name} : supprimé, était à ${was}`
      : was === null ? `${name} : ${now}, nouveau` : `${name} : ${now}, était à ${was}`,
  timesSeen: "Vu",
};
