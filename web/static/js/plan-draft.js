// @ts-check
// Keeps what is typed into a plan in this tab until it is saved, so that a reload, a look at
// another page or a lost signal costs nothing. Without this file the page works as any form.

import { fieldsOf, isChanged, isTick } from "./changed.js";
import { ask, planIn } from "./plan-ask.js";

/** @typedef {{ version: string, saving: boolean, fields: [string, string][] }} Draft */

const LEFT_OUT = new Set(["csrfmiddlewaretoken", "do", "newer"]);
const OF_ROWS = /^(mix|stage|substitute)-/;

/** One place for each person and plan. @param {HTMLFormElement} form */
function place(form) {
  return `plan ${form.dataset.draft}`;
}

/** @param {HTMLFormElement} form @param {boolean} [saving] */
export function draftKeep(form, saving = false) {
  const fields = [...new FormData(form)].filter(([name]) => !LEFT_OUT.has(name));
  const version = new FormData(form).get("version");
  draftWrite(form, { version: String(version), saving, fields: /** @type {any} */ (fields) });
}

/** @param {HTMLFormElement} form @param {Draft} draft */
function draftWrite(form, draft) {
  try {
    sessionStorage.setItem(place(form), JSON.stringify(draft));
  } catch {
    // No room, or storage is shut: the page goes on without.
  }
}

/** @param {HTMLFormElement} form @returns {Draft | null} */
function draftOf(form) {
  try {
    return JSON.parse(sessionStorage.getItem(place(form)) ?? "null");
  } catch {
    return null;
  }
}

/** @param {HTMLFormElement} form */
export function draftDrop(form) {
  try {
    sessionStorage.removeItem(place(form));
  } catch {
    // Nothing was kept then.
  }
}

/** What was kept, back in the form; `then` once it is. @param {HTMLFormElement} form
 *  @param {() => void} then */
export async function draftStart(form, then) {
  if (form.dataset.unsaved) return draftKeep(form);
  const draft = draftOf(form);
  if (!draft) return;
  if (draft.saving && draft.version !== new FormData(form).get("version")) return draftDrop(form);
  typedFirst(form, draft);
  if (!hasRowsOf(form, draft)) return rowsBring(form, then);
  fill(form, draft);
  show("typed-back", true);
  then();
}

/** What was typed before this file came, on a slow line, is newer than what was kept.
 *  @param {HTMLFormElement} form @param {Draft} draft */
function typedFirst(form, draft) {
  const typed = fieldsOf(form).filter(isChanged);
  if (!typed.length) return;
  const names = new Set(typed.map((field) => field.name));
  const kept = draft.fields.filter(([name]) => !names.has(name));
  const newer = [...new FormData(form)].filter(([name]) => names.has(name));
  draft.fields = [...kept, .../** @type {[string, string][]} */ (newer)];
  draftWrite(form, draft);
}

/** Whether the form's rows are those that were kept. @param {HTMLFormElement} form
 *  @param {Draft} draft */
function hasRowsOf(form, draft) {
  const rows = fieldsOf(form).filter((field) => OF_ROWS.test(field.name));
  const names = new Set(rows.map((field) => field.name));
  const kept = new Set(draft.fields.map(([name]) => name));
  const ticks = new Set(rows.filter(isTick).map((field) => field.name));
  return [...names].every((name) => kept.has(name) || ticks.has(name))
    && [...kept].every((name) => names.has(name) || !OF_ROWS.test(name));
}

/** @param {HTMLFormElement} form @param {Draft} draft */
function fill(form, draft) {
  const kept = new Map(draft.fields);
  for (const field of fieldsOf(form)) {
    if (isTick(field)) field.checked = kept.has(field.name);
    else field.value = kept.get(field.name) ?? field.value;
    // A choice that is gone; without any the field would not be sent, nor its row read.
    if (field instanceof HTMLSelectElement && field.selectedIndex < 0) field.selectedIndex = 0;
  }
}

/** The kept rows as the server draws them. Until they are there nothing can be typed into others.
 *  @param {HTMLFormElement} form @param {() => void} then */
async function rowsBring(form, then) {
  const draft = draftOf(form);
  if (!draft || !form.isConnected) return;
  form.inert = true;
  show("typed-coming", true);
  const token = String(new FormData(form).get("csrfmiddlewaretoken"));
  const more = [["csrfmiddlewaretoken", token], ["do", "bring-back"]];
  const fresh = planIn(await ask(location.href, [...draft.fields, .../** @type {any} */ (more)]));
  if (!form.isConnected) return; // another asking was quicker
  if (!fresh) {
    const again = () => rowsBring(form, then);
    addEventListener("online", again, { once: true });
    document.getElementById("bring-again")?.addEventListener("click", again, { once: true });
    return;
  }
  form.replaceWith(document.adoptNode(fresh));
  fill(fresh, draft);
  show("typed-coming", false);
  show("typed-back", true);
  then();
}

/** @param {string} id @param {boolean} on */
export function show(id, on) {
  const said = document.getElementById(id);
  if (said) said.hidden = !on;
}
