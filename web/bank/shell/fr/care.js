// @ts-check
/** Cautions and a section at a glance, in French. */
import { count } from "./numbers.js";

/** @type {typeof import("../words-care.js").careWords} */
export const care = {
  careTitle: "Prudence",
  careFirst: "Les règles de l’organisateur et du parcours passent d’abord, puis ce que disent les secours. Voici ce qui est conseillé d’ordinaire.",
  cares: [
    ["La foudre", [
      "Comptez de l’éclair au tonnerre. À 30 secondes ou moins, posez la canne et quittez le bord de l’eau.",
      "Restez loin des arbres isolés, des poteaux et des clôtures. Revenez 30 minutes après le dernier tonnerre.",
    ]],
    ["Lignes électriques", [
      "Les cannes, le fil et les vêtements mouillés conduisent. Il n’est pas nécessaire de toucher la ligne.",
      "Restez à 30 m au moins des lignes aériennes, canne reculée comprise (conseil des réseaux britanniques).",
    ]],
    ["Crue et eau qui monte", [
      "L’eau monte, se teinte ou charrie des branches : reculez du bord, gardez votre sortie libre, prévenez l’organisateur.",
      "N’entrez pas dans l’eau, et ne traversez pas une eau là où vous êtes passé à sec.",
    ]],
    ["Tombé à l’eau", [
      "Sous 15 °C, le froid coupe le souffle. Flottez sur le dos jusqu’à ce qu’il revienne, puis appelez.",
      "Aide depuis la rive : tendez ou lancez quelque chose. N’entrez pas dans l’eau pour secourir quelqu’un.",
    ]],
    ["Eau infectée (urine de rat)", [
      "Couvrez les coupures, lavez-vous les mains avant de manger. Grippe dans les trois semaines : dites au médecin que vous pêchez.",
    ]],
  ],

  sectionTitle: (label) => `Secteur ${label}`,
  sectionNone: "Aucune place ne vous est tirée, donc pas de secteur à vous. Choisissez-en un.",
  sectionWeighed: (done, all) => `${done} pesé(s) sur ${all}`,
  sectionLeads: (who) => `À la connaissance de ce téléphone, ${who} mène`,
  sectionLevel: (who) => `À la connaissance de ce téléphone, à égalité en tête : ${who}`,
  sectionNobody: "Personne ne mène encore, à la connaissance de ce téléphone.",
  asOf: (time) => `À ${time}, avec ce qui a été gardé depuis sur ce téléphone.`,
  asOfNever: "Rien n’est encore venu du serveur : seulement ce qui a été gardé sur ce téléphone.",
  points: (n) => count(n, "point", "points"),
  me: "vous",
  leads: "mène",
  notWeighed: "pas pesé",
  empty: "personne de tiré",
  settle: "à régler",
};
