// @ts-check
/** The file of what is unsent, for its person and for a mate's phone; and reading either in. */
import { bag } from "./bag.js";
import { base64urlWrite } from "./canonical.js";
import { bundleMake, bundleTake } from "./carry.js";
import { CARRIED } from "./facts.js";
import { fileFacts, fileText } from "./saved-file.js";
import { carryWords } from "./words-carry.js";
import { phoneWords } from "./words-phone.js";

/** @typedef {import("./facts.js").OwnRow} OwnRow */

/** Have the phone save that file. @param {{id: string, name: string}} person @param {OwnRow[]} kept @param {OwnRow[]} refused */
export async function fileSave(person, kept, refused) {
  const blob = new Blob([await fileMake(person, kept, refused)], { type: "application/json" });
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = `unsent-${new Date().toISOString().slice(0, 16).replace(":", "")}.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

/**
 * Everything unsent of the person's, once more signed where this phone can, so that a mate's carries
 * it, and with it what this phone carries for others.
 * @param {{id: string, name: string}} person @param {OwnRow[]} kept @param {OwnRow[]} refused
 */
export async function fileMake(person, kept, refused) {
  const handed = [];
  const rows = [...kept, ...(await bag.store.factsIn(CARRIED, "kept"))];
  for (const match of new Set(rows.map((row) => row.match))) {
    try {
      handed.push(base64urlWrite(await bundleMake(match)));
    } catch (error) {
      if (!(error instanceof Error) || error.name !== "CannotCarry") throw error;
    }
  }
  return fileText(person, [...kept, ...refused].map((row) => row.fact), Date.now(), handed);
}

/**
 * Take in one's own file, or carry a mate's; what came of it, in words.
 * @param {{id: string, name: string}} person @param {Uint8Array} bytes
 */
export async function fileTake(person, bytes) {
  const found = fileFacts(new TextDecoder().decode(bytes), person.id);
  if ("facts" in found) {
    const { fresh, differ } = await bag.store.factsTakeIn(person, found.facts, Date.now());
    const said = [phoneWords.fileTaken(fresh)];
    if (differ) said.push(phoneWords.fileDiffers(differ));
    if (found.spoiled) said.push(phoneWords.fileSpoiled(found.spoiled));
    const { taken } = await bundleTake(bytes);
    if (taken) said.push(carryWords.taken(taken));
    return said.join(" ");
  }
  if ("others" in found && !found.handed) return phoneWords.fileOthers(found.others);
  if ("damaged" in found && !(bytes[0] < 2)) return phoneWords.fileBad;
  return takenText(await bundleTake(bytes));
}

/** @param {Awaited<ReturnType<typeof bundleTake>>} taken */
function takenText({ taken, known, refused }) {
  const why = [...new Set(refused.map((one) => one.why))].join(" ");
  if (refused.length && !refused[0].id) return why;
  const said = [carryWords.taken(taken)];
  if (known) said.push(carryWords.known(known));
  if (refused.length) said.push(`${carryWords.notTaken(refused.length)} ${why}`);
  return said.join(" ");
}
