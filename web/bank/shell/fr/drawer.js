// @ts-check
/** What is on this phone, in French. */
import { count } from "./numbers.js";

/** @type {typeof import("../words-drawer.js").drawerWords} */
export const drawer = {
  phoneTitle: "Sur ce téléphone",
  phoneEmpty: "Tout est envoyé.",
  sendNow: "Envoyer maintenant",
  keptTitle: (n) => count(n, "relevé gardé ici, pas encore envoyé", "relevés gardés ici, pas encore envoyés"),
  refusedTitle: (n) => count(n, "relevé refusé", "relevés refusés"),
  refusedHelp: "Le serveur ne les prend pas tels quels. Lisez pourquoi, notez à nouveau comme il faut, puis mettez le refusé de côté.",
  putAside: "Mettre de côté",
  disputeTitle: (n) => count(n, "relevé à régler", "relevés à régler"),
  disputeHelp: "Quelqu’un l’a noté autrement. Les deux sont gardés ; le secrétaire règle la question.",
  unreadable: (body) => `pas écrit comme le fait cette appli : ${body}`,
  disputeWith: (who) => `Diffère de ce que ${who} a noté`,
  clashed: "Avait le même numéro qu’un autre relevé : il en a reçu un nouveau.",
  version: (build) => `Version ${build}`,
  signedInAs: (name) => `Connecté : ${name}`,
  signOut: "Se déconnecter",
  signOutUnsent: (n) => `${count(n, "relevé n’est pas encore envoyé", "relevés ne sont pas encore envoyés")}. Enregistrez d’abord le fichier, ou restez connecté jusqu’à ce qu’il y ait du réseau. Personne d’autre qui se connecte ici ne peut voir ou envoyer ce qui est à vous.`,
  signOutSure: "Se déconnecter quand même",
  signOutStay: "Rester connecté",
  signOutFailed: "Il faut du réseau pour se déconnecter. Rien n’a changé.",
  desk: "Vers le bureau",

  kinds: {
    weigh_in: "Pesée", feed_note: "Amorçage", fish_note: "Poisson", peg_note: "Note sur la place", line_note: "Coup",
    feed_test: "Essai au bocal", feed_throw: "Lancer",
    signal: "Signal", scratch: "Repris", ruling: "Décision",
  },
  andMore: (n) => `Et ${n} de plus. Un fichier enregistré les contient tous.`,
};
