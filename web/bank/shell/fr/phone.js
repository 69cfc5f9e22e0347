// @ts-check
/** A file read in on this phone, in French. */
import { count } from "./numbers.js";

/** @type {typeof import("../words-phone.js").phoneWords} */
export const phone = {
  fileTaken: (n) => `${count(n, "relevé pris", "relevés pris")} du fichier.`,
  fileDiffers: (n) =>
    `${n} du fichier ${n < 2 ? "diffère" : "diffèrent"} de ce qui est sur ce téléphone : le fichier a été modifié depuis son enregistrement. Ce qui est sur ce téléphone reste tel quel.`,
  fileSpoiled: (n) =>
    `${n} du fichier ${n < 2 ? "ne peut être lu et y est resté : notez-le" : "ne peuvent être lus et y sont restés : notez-les"} à nouveau.`,
  fileBad: "Ce fichier n’a pas été enregistré par cette appli, ou il est abîmé. Rien n’a changé.",
  fileOthers: (who) =>
    `Ce fichier contient ce que ${who || "quelqu’un d’autre"} a noté. Seule cette personne peut le relire, connectée en son nom. Rien n’a changé.`,
};
