// @ts-check
// Adds rows, takes them out and adds up without loading the page anew, so that nobody loses their
// place. Without this file each press sends the form, and the page comes back whole.

import { draftKeep } from "./plan-draft.js";

const QUIETLY = /^(add|drop)-(stage|hook|mix|substitute|feed|part)\b|^check$/;

/** Presses wait for each other, so that none is lost on a slow line. */
let presses = Promise.resolve();

document.addEventListener("submit", (event) => {
  const form = /** @type {HTMLFormElement} */ (event.target);
  const button = /** @type {HTMLButtonElement | null} */ (event.submitter);
  if (form.id !== "plan" || !button) return;
  if (!QUIETLY.test(button.value) || form.dataset.plain) {
    draftKeep(form, button.value.startsWith("save"));
    if (navigator.onLine) return;
    event.preventDefault(); // the browser would put its own page in place of what was typed
    noAnswerSay(true);
    return;
  }
  event.preventDefault();
  presses = presses.then(() => press(button.value));
});

/** @param {string} action */
async function press(action) {
  const form = /** @type {HTMLFormElement} */ (document.getElementById("plan"));
  const button = /** @type {HTMLButtonElement | null} */ (
    form.querySelector(`button[name="do"][value="${CSS.escape(action)}"]:not([tabindex])`));
  if (!button) return;
  const sent = new FormData(form, button);
  // A row added leaves the others where they are, so typing goes on; else rows move.
  const moves = !action.startsWith("add-");
  const held = moves ? elements(form).filter((part) => !part.disabled) : [];
  for (const part of held) part.disabled = true;
  const page = await ask(form, sent);
  for (const part of held) part.disabled = false;
  noAnswerSay(page === null);
  if (page === null) return;
  const fresh = page.getElementById("plan");
  if (!fresh) {
    form.dataset.plain = "yes"; // as it goes without this file
    form.requestSubmit(button);
    return;
  }
  const open = new Set(folds(form).filter(([fold]) => fold.open).map(([, name]) => name));
  const typed = moves ? [] : elements(form).filter((part) => isTyped(part, sent));
  const busy = document.activeElement;
  const added = /** @type {HTMLFormElement} */ (document.adoptNode(fresh));
  form.replaceWith(added);
  for (const [fold, name] of folds(added)) if (open.has(name)) fold.open = true;
  for (const part of typed) typedKeep(part, added);
  draftKeep(added);
  const going = typed.find((part) => part === busy);
  if (going) /** @type {HTMLElement} */ (added.elements.namedItem(going.name)).focus();
  else placeKeep(button, added);
}

/** @param {boolean} silent */
function noAnswerSay(silent) {
  const said = document.getElementById("no-answer");
  if (said) said.hidden = !silent;
}

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement | HTMLButtonElement} Part */

/** @param {HTMLFormElement} form @returns {Part[]} */
function elements(form) {
  return [...form.querySelectorAll("input, select, textarea, button")].map(
    (part) => /** @type {Part} */ (part));
}

/** Whether it holds something else than was sent. @param {Part} part @param {FormData} sent */
function isTyped(part, sent) {
  if (part instanceof HTMLButtonElement) return false;
  if (part instanceof HTMLInputElement && part.type === "checkbox") {
    return part.checked !== sent.has(part.name);
  }
  return part.value !== (sent.get(part.name) ?? "");
}

/** @param {Part} part @param {HTMLFormElement} form */
function typedKeep(part, form) {
  const same = form.elements.namedItem(part.name);
  if (same instanceof HTMLInputElement && part instanceof HTMLInputElement) {
    same.checked = part.checked;
  }
  if (same && "value" in same) same.value = part.value;
}

/** @param {HTMLFormElement} form @param {FormData} sent */
async function ask(form, sent) {
  const body = new URLSearchParams();
  for (const [name, value] of sent) body.append(name, String(value));
  try {
    const answer = await fetch(form.action, { method: "POST", body });
    return new DOMParser().parseFromString(await answer.text(), "text/html");
  } catch {
    return null; // no signal: the page says so, and what was typed stays
  }
}

/** Each thing that folds, with a name that stays. @param {HTMLElement} form */
function folds(form) {
  return [...form.querySelectorAll("details")].map((fold) => {
    const held = fold.closest("[id]");
    const place = held ? [...held.querySelectorAll("details")].indexOf(fold) : 0;
    return /** @type {[HTMLDetailsElement, string]} */ ([fold, `${held?.id} ${place}`]);
  });
}

/** To the row that was added, or to where one was taken out. @param {HTMLButtonElement} button
 *  @param {HTMLElement} form */
function placeKeep(button, form) {
  const place = form.querySelector(new URL(button.formAction).hash || "#plan");
  if (!(place instanceof HTMLElement)) return;
  const rows = place.matches(".stage") ? place.querySelectorAll(".feed-row") : [];
  const last = rows[rows.length - 1];
  const field = button.value.startsWith("add-")
    ? (/^add-(feed|part)/.test(button.value) ? last : place)?.querySelector("select, input")
    : null;
  const to = field instanceof HTMLElement ? field : place;
  if (to === place) place.tabIndex = -1;
  to.focus({ preventScroll: true });
  to.scrollIntoView({ block: "center" });
}
