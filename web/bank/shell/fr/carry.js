// @ts-check
/** Carrying facts from phone to phone, in French. */
import { count } from "./numbers.js";

/** @type {typeof import("../words-carry.js").carryWords} */
export const carry = {
  nobody: "Personne n’est connecté sur ce téléphone. Connectez-vous d’abord.",
  cannot: "Le navigateur de ce téléphone ne peut garder aucune clé : il ne peut donc pas transmettre de relevés. Ce qui est gardé ici part avec le prochain réseau, ou dans un fichier que vous relisez vous-même.",
  notJoined: "Ce téléphone n’est pas encore inscrit : il lui faut une fois du réseau, connecté. Ensuite il peut transmettre des relevés.",
  revoked: "Ce téléphone a été retiré de votre liste au bureau : il ne transmet donc rien.",
  notOurs: "Cela ne vient pas de cette appli, ou c’est abîmé. Rien n’a changé.",
  unsigned: "Le téléphone d’origine n’a pas pu le signer : seul son propriétaire peut le relire, connecté en son nom. Rien n’a changé.",
  newer: "L’autre téléphone a une version plus récente de cette appli. Mettez celui-ci à jour tant qu’il y a du réseau.",
  packed: "Le navigateur de ce téléphone ne peut pas le déballer. Lisez-le sur un autre téléphone.",
  tooLarge: "C’est plus que ce qu’un téléphone transmet. Rien n’a changé.",
  otherClub: "Cela vient d’un concours qui n’est pas de vos clubs. Rien n’a changé.",
  altered: "Ce n’est pas ce que son téléphone a signé : cela a été modifié en chemin.",
  otherPhone: "Cela nomme un téléphone qui est à quelqu’un d’autre.",
  spoiled: "Ce n’est pas écrit comme le fait cette appli.",

  carriedTitle: (n) => n ? `${n} à porter pour d’autres` : "Rien à porter pour d’autres",
  carriedHelp: "Des téléphones de camarades sans réseau. Ils partent avec les vôtres et restent à eux.",
  carryingFor: (n, who) => `${n} à porter pour ${who}`,
  refusedTitle: (n) => count(n, "relevé porté refusé", "relevés portés refusés"),
  refusedHelp: "Les téléphones d’origine les ont encore : prévenez leurs propriétaires.",
  refusedFor: (n, who) => `${n} de ${who}`,
  ownSent: "Tout ce qui est à vous est envoyé. Ce que vous portez pour d’autres ne l’est pas encore.",
  signOutCarrying: (n) => `${count(n, "relevé porté pour d’autres n’est pas encore envoyé", "relevés portés pour d’autres ne sont pas encore envoyés")}. Déconnecté, ce téléphone n’envoie rien tant que quelqu’un de leur club ne s’y connecte pas.`,
  again: "Envoyer encore",
  putAside: "Mettre de côté",

  joined: "Ce téléphone peut transmettre ce qui est gardé ici au téléphone d’un camarade.",
  renew: "Le laisser transmettre à nouveau",

  taken: (n) => `${count(n, "relevé pris à porter", "relevés pris à porter")}.`,
  known: (n) => `${n} déjà ${n < 2 ? "connu" : "connus"} ici.`,
  notTaken: (n) => `${n} non pris :`,
};
