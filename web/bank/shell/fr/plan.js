// @ts-check
/** The plan, the bag and the mixing sheet, in French. */
import { comma, count } from "./numbers.js";

/** @type {typeof import("../words-plan.js").planWords} */
export const plan = {
  planTitle: "Mon plan",
  planNone: "Vous n’avez pas de plan pour ce concours. Écrivez-en un au bureau tant que vous avez du réseau ; il arrive de lui-même.",
  planOpen: "Ouvrir le plan au bureau",
  planMixing: "Fiche de mélange et minuterie de repos",
  stageKinds: {
    opening: "Amorçage de départ", feed: "Amorçage", top_up: "Rappel", switch: "Changement", hook: "Esches",
  },
  stageBalls: (n, mm, mix, loads) =>
    `${count(n, "boule", "boules")} de ${mm} mm du mélange « ${mix} »${loads ? ", avec :" : ""}`,
  stageLine: (line) => `coup ${line}`,
  stageFrom: (from, to) =>
    from < 0 ? `${-from} min avant le début, jusqu’à la minute ${to}`
      : from === to ? `Minute ${from}` : `Minute ${from} à ${to}`,
  everyText: (s) =>
    s === 60 ? "chaque minute" : s % 60 === 0 ? `toutes les ${s / 60} minutes` : `toutes les ${s} secondes`,
  stageNow: "maintenant",
  bagTitle: "Dans mon sac",
  bagNone: "Rien ne vous a encore été remis.",
  spare: (p) => `Les ${p} % en plus sont compris.`,

  mixTitle: "Fiche de mélange",
  mixName: (name) => `Mélange « ${name} »`,
  mixNone: "Votre plan n’a pas de mélange. Ajoutez-en un au bureau tant que vous avez du réseau ; il arrive de lui-même.",
  mixRules: "Les règles de l’organisateur et du parcours passent d’abord. Certaines interdisent les boules faites avant le contrôle des appâts.",
  mixHemp: "Le chènevis chaud brûle. Laissez-le refroidir avant de le mettre dans un sac, un seau ou vos mains.",
  mixDry: "Mélanger à sec",
  mixWater: (l) => comma(`Mouiller : ${l} L d’eau`),
  mixWaterUnknown: "Mouiller",
  mixWaterHow: "Le plus gros d’abord, le reste peu à peu. Arrêtez quand une poignée serrée tient tout juste.",
  mixRest: (n) => `Laisser reposer ${count(n, "minute", "minutes")}, couvert`,
  mixRiddle: "Tamiser",
  mixAfter: "Puis tamiser dedans",
  mixLoad: "Charger et serrer en dernier, seulement pour les boules suivantes",
  mixReady: (l) => comma(`Donne ${l} L en vrac, prêts à l’emploi.`),
  mixShort: (l) => comma(`Il manque ${l} L pour toutes ses boules : mouillez plus, ou faites-en moins.`),
  restStart: "C’est mouillé : démarrer le repos",
  restStop: "Arrêter l’horloge",
  restClear: "Ranger l’horloge",
  restGoOn: (time) => `Reprendre depuis ${time}`,
  restTimes: (from, to) => `Mouillé à ${from}, prêt à ${to}.`,
  rested: (time) => `Reposé depuis ${time} : tamisez maintenant.`,
  restNotKept: "Le téléphone n’a pas pu garder l’heure. Regardez votre montre et notez-la.",
  ballsOf: (n, mm) => `${count(n, "boule", "boules")} de ${mm} mm`,
  ballsEach: (ml, most) =>
    most === null ? `${ml} ml dans chacune.` : `${ml} ml dans chacune, ${most} ml au plus.`,
  ballsHold: "Tient",
  ballsBreak: "Casse : moins dedans, ou plus de boules",
  ballsUnknown: "On ne peut pas en juger : tout n’est pas en litres",
  ballsBare: "Rien n’y est chargé.",
  ballMost: (mm, hemp, maggot) =>
    `Une boule de ${mm} mm prend ${hemp} ml de chènevis ou ${maggot} ml d’asticots morts et tient encore. Serrez-en une pour être sûr.`,
};
