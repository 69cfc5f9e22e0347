// @ts-check
/** What several screens say, and the day at the peg, in French. */
import { count } from "./numbers.js";

/** @type {typeof import("../words.js").words} */
export const shared = {
  app: "Drawbag",
  back: "Retour",
  light: "Plein soleil",

  keptHere: "gardés ici",
  sent: "envoyés",
  refused: "refusés",
  signal: {
    unknown: "recherche",
    ok: "réseau",
    no_signal: "pas de réseau",
    sign_in: "se connecter",
    busy: "serveur occupé",
    refused: "non pris",
    other_person: "autre personne",
  },
  noAnswer: "pas de réponse",
  sending: "envoi",
  countsTitle: "Ce qui est sur ce téléphone",
  troubleTitle: "Le stockage de ce téléphone ne répond pas",
  trouble: "Ce qui était gardé est encore sur le disque. Fermez les autres onglets de cette appli et rouvrez-la.",

  signInNeeded: "Connectez-vous pour envoyer ce qui est gardé ici. Rien n’est perdu d’ici là.",
  signIn: "Se connecter",
  signInFirst: "Connectez-vous une fois tant que vous avez du réseau. Ensuite l’appli s’ouvre sans lui.",
  firstNoSignal: "Il n’y a pas encore de réseau. Trouvez-en une fois, connectez-vous, et l’appli est prête pour le bord de l’eau.",

  newer: "Une nouvelle version est prête.",
  newerUse: "L’utiliser maintenant",

  opening: "On ouvre le sac…",
  partComing: "Cette partie arrive…",
  partMissing: "Cette partie n’est pas encore sur le téléphone : elle vient avec le prochain réseau.",
  tryAgain: "Réessayer",

  kept: "gardé",
  undo: "Annuler",
  undone: "Repris",
  notKept: "Non gardé. Le téléphone n’a pas pu écrire sur son disque. Ce que vous avez tapé est encore là : réessayez, ou notez-le sur papier.",
  nobody: "Personne n’est connecté sur ce téléphone. Connectez-vous d’abord ; ce que vous avez tapé est encore là.",

  matchesTitle: "Vos concours",
  matchesNone: "Aucun concours de vos clubs n’est encore sur ce téléphone. Ouvrez cette page une fois avec du réseau.",
  matchesNoneYet: "Vos clubs n’ont aucun concours en vue. Dès que le secrétaire en prévoit un, il arrive ici de lui-même.",
  matchOnPhone: "sur ce téléphone",
  matchNotHere: "Ce concours n’est pas encore sur le téléphone. Il arrive dès qu’il y a du réseau.",
  installTitle: "Mettez-la sur l’écran d’accueil",
  install: "Depuis le menu du navigateur, avant le premier concours. Certains téléphones vident les sites restés sept jours sans servir, et une appli installée garde son propre stockage. Une fenêtre privée oublie tout quand on la ferme.",
  installDone: "C’est fait, ou pas maintenant",
  states: {
    planned: "prévu", drawn: "tiré", weighing: "pesée", provisional: "provisoire",
    confirmed: "confirmé",
  },

  yourPeg: "Votre place",
  section: (label) => `Secteur ${label}`,
  sections: "Secteurs",
  peg: (n) => `Place ${n}`,
  noPeg: "Aucune place ne vous est tirée dans ce concours.",
  clockTitle: "Signaux du jour",
  until: (name) => `${name} dans`,
  over: "C’est fini",
  overSince: (time) => `depuis ${time}`,
  signalNames: {
    draw: "Tirage", prepare: "Préparation", feed: "Amorçage", start: "Début", last_call: "Dernier appel",
    end: "Fin de pêche",
  },
  calledOff: "Annulé",
  signals: {
    start: "Début donné", five_minutes: "Dernier appel donné", end: "Fin de pêche donnée",
  },
  goWeigh: "Peser",
  goFeed: "Noter l’amorçage",
  goPlan: "Mon plan",
  goPass: "Passer par l’appareil photo",
  goBoard: "Résultats",
  boardLater: "Résultats : dès qu’il y a du réseau",
  cautions: "Prudence",
  river: (n) => `La rive : ${count(n, "place", "places")} en ligne. Les pleines sont pesées, celle entourée est la vôtre.`,
  fetched: (time) => `À ${time}`,

  weighTitle: "Pesée",
  weighOf: (done, all) => `${done} ${done < 2 ? "place pesée" : "places pesées"} sur ${all} tirées`,
  mySection: "Mon secteur",
  emptyPeg: "personne de tiré",
  toWeigh: "à peser",
  disputed: "à régler",
  weighedBy: (names) => `pesé par ${names}`,
  netNumber: (n) => `Bourriche ${n}`,
  netNext: "Une autre bourriche",
  notTyped: "Tapez le poids",
  blank: "un capot",
  save: "Garder",
  saveChange: "Garder la correction",
  agrees: (name) => `${name} est d’accord`,
  unusualTitle: "Est-ce bien cela ?",
  unusual: (w) => `${w}, c’est bien plus que d’ordinaire ici. Regardez encore la balance.`,
  unusualYes: "Oui, garder",
  unusualNo: "Taper à nouveau",
  correcting: (w) => `Gardé auparavant : ${w}. Ce que vous tapez maintenant le corrige ; les deux restent notés.`,
  reweigh: "Repesé parce que quelqu’un l’a demandé : remplace le premier, même plus bas",
  keptToSettle: "gardé ici, à régler",
  besides: (w, who) => `${w} a été pesé${who ? ` par ${who}` : ""} et vaut. Ce que vous tapez est gardé à côté, et le secrétaire règle lequel compte.`,
  afterConfirmed: "Le résultat est confirmé. Ce que vous gardez maintenant ne compte qu’une fois réglé par le secrétaire.",
  toBeSettled: "à régler",
  noWeight: (most, unit) =>
    `Ce n’est pas un poids : ${unit === "dr" ? "les onces et les drachmes vont de 0 à 15, et " : ""}${most} est le plus. Rien n’est encore gardé ; tapez à nouveau.`,
  capRule: (cap, counts) => `Une bourriche de plus de ${cap} compte ${counts}.`,
  capNothing: "rien",
  counts: (w) => `compte ${w}`,
  netFishTitle: "Poissons de cette bourriche",
  fishGo: "Compter les poissons",
  netFishMore: (name) => `${name} : un de plus`,
  netFishLess: (name) => `${name} : un de moins`,
  fishTold: (n, points) => `${count(n, "poisson", "poissons")}, ${count(points, "point", "points")}`,
  fishMissing: "poissons non comptés",
  fishSkip: "Garder sans compter",
  netFishBack: "Retour au poids",
  mayNotWeigh: "Vous pouvez noter votre propre place. Pour les autres, demandez au secrétaire de vous nommer peseur de ce concours.",
  clear: "Effacer",
  deleteDigit: "Effacer le dernier chiffre",
  keyNames: { lb: "livres", oz: "onces", dr: "drachmes" },

  feedTitle: "Noter l’amorçage",
  feedNoPlan: "Pas de plan, donc pas encore de boutons. Faites ceux qu’il vous faut ci-dessous.",

  fishBack: (species) => `${species} : reprendre le dernier`,

  fileSave: "Enregistrer le non-envoyé dans un fichier",
  fileRead: "Relire un fichier enregistré",
  lost: "Il n’y a pas de page ici.",
  toMatches: "Vers vos concours",
};

/** @type {typeof import("../words.js").dayWords} */
export const day = {
  lineTitle: "Le coup où je suis",
  line: (line) => `coup ${line}`,
  lineNow: "maintenant sur :",
  lineTaken: (line) => (line ? `Maintenant sur le coup ${line}` : "Maintenant sur l’autre coup"),
  lineNotKept: "Le téléphone n’a pas pu garder le coup. Il vaut jusqu’à ce que vous quittiez cet écran.",

  again: "Encore",
  first: "Pour commencer",
  otherLines: "Sur les autres coups",

  fishTitle: "Poissons",
  fishHelp: "Une touche, un poisson à la bourriche. Le poids est estimé d’après la taille.",
  sizes: { small: "petit", middling: "moyen", good: "beau" },
  species: {
    roach: "gardon", skimmer: "plaquette", bream: "brème", perch: "perche", chub: "chevesne", dace: "vandoise",
    bleak: "ablette", gudgeon: "goujon", other: "autre",
  },
  fishKey: (species, size, about, n) => `${species}, ${size}${about ? `, environ ${about}` : ""} : ${n}`,
  fishKept: (species, size) => `${species}, ${size}`,

  nextAlong: "La suivante",
  nextNet: "Une autre bourriche",
  allWeighed: "Toutes les places tirées sont pesées, à la connaissance de ce téléphone.",

  goFish: "Poissons",
  goPeg: "Ma place",
  goSection: "Mon secteur",
  goCare: "Foudre, crue, lignes : que faire",
  powerLines: "Lignes électriques à votre place. Gardez canne et fil à 30 m d’elles au moins.",
  steepBank: "Berge raide à votre place. Asseyez-vous en retrait du bord, et laissez la bourriche à deux personnes.",
  careLocal: "Les règles de l’organisateur et du parcours passent d’abord.",
};

/** @type {typeof import("../words.js").units} */
export const units = {
  L: "L", ml: "ml", pint: "pinte", kg: "kg", g: "g", lb: "lb", oz: "oz", each: "pièce",
  pinch: "pincée", handful: "poignée", pouch: "fronde", bag: "sac",
};

/** @type {Record<string, string>} */
export const many = {
  pint: "pintes", pinch: "pincées", handful: "poignées", pouch: "frondes", bag: "sacs",
};
