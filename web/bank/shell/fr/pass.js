// @ts-check
/** Passing on from phone to phone, in French. */
import { count } from "./numbers.js";

/** @type {typeof import("../words-pass.js").passWords} */
export const pass = {
  title: "Passer à un autre téléphone",
  how: "Deux téléphones et pas de réseau : l’un montre, l’autre lit avec son appareil photo. Ce qui est lu reste à son auteur, et les deux téléphones le gardent.",
  showUnsent: "Montrer ce qui n’est pas envoyé ici",
  showUnsentHelp: "Pour que le téléphone d’un camarade l’apporte au serveur, si le vôtre reste sans réseau.",
  showAll: "Montrer tout ce qui est connu du concours",
  showAllHelp: "Pour qu’un autre peseur continue à la place suivante : les deux téléphones savent alors ce qui est pesé.",
  readIt: "Lire le téléphone d’un camarade",
  nothing: "Rien n’attend d’être envoyé ici pour ce concours.",
  whichMatch: "Quel concours ?",
  noMatch: "Aucun concours n’est encore sur ce téléphone.",

  showTitle: "Tenez ceci devant l’appareil photo de l’autre",
  showHelp: "Montez la luminosité et tenez les deux téléphones immobiles, à une longueur de main. Les codes tournent jusqu’à ce que l’autre les ait tous.",
  code: "Un code pour l’appareil photo de l’autre téléphone",
  codeOf: (n, all) => `${n} sur ${all}`,
  pause: "Pause",
  goOn: "Continuer",
  codeBefore: "Le code précédent",
  codeNext: "Le code suivant",
  tooMuch: "C’est trop pour des codes à l’écran. Enregistrez-le dans un fichier, et envoyez-le à l’autre téléphone.",
  fileSave: "L’enregistrer dans un fichier",
  done: "Terminé",

  askTitle: "L’appareil photo lit les codes",
  ask: "Le téléphone demandera si cette appli peut utiliser l’appareil photo. Les images sont regardées ici et gardées nulle part.",
  cameraOpen: "Ouvrir l’appareil photo",
  camera: "Ce que voit l’appareil photo",
  looking: "À la recherche du code de l’autre téléphone…",
  read: (n, all) => `${n} ${n < 2 ? "lu" : "lus"} sur ${count(all, "code", "codes")}`,
  cameraRefused: "Cette appli ne peut pas utiliser l’appareil photo. Autorisez-le dans les réglages du téléphone pour ce site, ou lisez un fichier que l’autre téléphone enregistre.",
  cameraNone: "Aucun appareil photo ne répond sur ce téléphone. Lisez un fichier que l’autre téléphone enregistre.",
  fileRead: "Lire un fichier",
  wrong: {
    other: "Ce code ne vient pas de « Passer à un autre téléphone » de cette appli. Une invitation ou un autre lien s’ouvre avec l’appareil photo du téléphone.",
    newer: "L’autre téléphone a une version plus récente de cette appli. Mettez celui-ci à jour tant qu’il y a du réseau, ou passez par un fichier.",
    damaged: "Ce code n’a pas pu être bien lu. Ne bougez pas ; il revient.",
  },
  notWhole: "Les codes n’ont pas formé un tout. Recommencez ; rien n’a été pris.",

  takenTitle: "Ce qui a été lu",
  taken: (n) => count(n, "relevé est nouveau sur ce téléphone", "relevés sont nouveaux sur ce téléphone"),
  known: (n) => count(n, "relevé était déjà ici", "relevés étaient déjà ici"),
  from: (who) => `De ${who}`,
  refused: (n) => `${count(n, "relevé n’a pas été pris", "relevés n’ont pas été pris")} :`,
  nothingTaken: "Rien n’a été pris :",
  again: "En lire un autre",
  toWeigh: "Vers les places",
};
