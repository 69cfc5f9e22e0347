// @ts-check
/** Feed against plan and bag, in French. */
import { count } from "./numbers.js";

/** @param {number} minutes */
function span(minutes) {
  const whole = Math.floor(minutes);
  if (whole < 1) return "moins d’une minute";
  return whole < 60 ? count(whole, "minute", "minutes") : `${Math.floor(whole / 60)} h ${whole % 60} min`;
}

/** @type {typeof import("../words-feed.js").feedWords} */
export const feed = {
  dueIn: (name, minutes) => `${name} dans ${span(minutes)}`,
  dueNow: (name) => `${name} maintenant`,
  dueSince: (name, minutes) => `${name} maintenant, prévu il y a ${span(minutes)}`,
  dueOn: (said, line) => `${said}, coup ${line}`,
  dueNone: "Plus rien à lancer d’après le plan.",
  stageIn: "Dans cette étape",
  standOf: (fed, planned) => `${fed} sur ${planned}`,
  unsure: "sans ce qui a été noté dans une unité qui ne convient pas",
  bagTitle: "Reste dans mon sac",
  bagOver: "il a été noté plus qu’il ne contenait",

  feedMake: "Faire un bouton",
  feedBait: "Appât",
  feedAmount: "Quantité d’un lancer",
  feedUnit: "Unité",
  feedLine: "Coup, si vous en pêchez plusieurs",
  feedMakeDo: "Le faire",
  feedAmountBad: "Écrivez la quantité en chiffres, par exemple 0,25.",

  feedLog: "Noté jusqu’ici",
  feedLogWhole: (n) => `Tout montrer (${n})`,
  feedLogNone: "Rien de noté encore.",
  feedTotal: (what) => `Jusqu’ici : ${what}`,
  takeBack: "Reprendre",
};
