// @ts-check
/** What this browser lacks or forbids, in French. */

/** @type {typeof import("../words-lacks.js").lacksWords} */
export const lacks = {
  persistYes: "Le téléphone a promis de ne pas vider de lui-même le stockage de cette appli.",
  persistNo: "Le téléphone n’a pas promis de garder le stockage de cette appli. S’il demande, dites oui ; mettez l’appli sur l’écran d’accueil, et envoyez avant la fin de la journée.",
  persistUnknown: "Le téléphone ne dit pas s’il peut vider le stockage de cette appli.",
  storageTitle: "Cette fenêtre pourrait ne rien garder",
  storage: "Son stockage manque ou est interdit, comme dans certaines fenêtres privées : rien de ce qui est noté ici ne serait gardé. Ouvrez l’appli dans une fenêtre ordinaire de ce navigateur, ou autorisez ce site à stocker des données. D’ici là, notez les poids sur papier.",
  worker: "Ici, l’appli ne peut pas s’ouvrir sans réseau : gardez cette page ouverte, ou utilisez une fenêtre ordinaire d’un navigateur plus récent.",
  awake: "Ce navigateur ne peut pas garder l’écran allumé pendant que vous pesez : réglez le téléphone pour que l’écran reste allumé plus longtemps.",
  buzz: "Ce navigateur ne vibre pas quand quelque chose est gardé : regardez la coche.",
};
