// @ts-check
// Adds rows, takes them out, adds up and saves without loading the page anew, so that nobody loses
// their place or what they typed meanwhile. Without this file each press sends the form, and the
// page comes back whole.

import { ask, planIn } from "./plan-ask.js";
import { draftDrop, draftKeep, draftStart, show } from "./plan-draft.js";
import { merge, rowDrop } from "./plan-merge.js";

const QUIETLY = /^(add|drop)-(stage|hook|mix|substitute|feed|part)\b|^check$/;
/** After these the work goes on in a new stage or mix: those that are filled in fold. */
const NEXT = /^add-(stage|hook|mix)$/;
/** After this long a pause in typing the sum is brought up to date. */
const PAUSE_MS = 600;

/** Presses wait for each other, so that none is lost on a slow line. */
let presses = Promise.resolve();
/** How often something was typed, chosen or ticked. */
let typed = 0;
/** On the way to the page as it was saved. */
let leaving = false;
let pause = 0;
/** @type {AbortController | null} */
let summing = null;

/** @returns {HTMLFormElement | null} */
function planForm() {
  return /** @type {HTMLFormElement | null} */ (document.getElementById("plan"));
}

document.addEventListener("submit", (event) => {
  const form = /** @type {HTMLFormElement} */ (event.target);
  const button = /** @type {HTMLButtonElement | null} */ (event.submitter);
  if (form.id !== "plan" || !button || form.dataset.plain) return;
  event.preventDefault();
  const at = { busy: document.activeElement, typed };
  presses = presses.then(() => press(button, at));
});

/** @typedef {{ busy: Element | null, typed: number }} At Where somebody was when they pressed. */

/** By now the button may have moved with its row, or be gone. @param {HTMLButtonElement} button
 *  @param {At} at */
async function press(button, at) {
  const form = button.form;
  if (!form?.isConnected || leaving) return;
  summing?.abort();
  summing = null;
  if (QUIETLY.test(button.value)) await quietly(form, button, at);
  else await whole(form, button);
}

/** Typing goes on meanwhile. @param {HTMLFormElement} form @param {HTMLButtonElement} button
 *  @param {At} at */
async function quietly(form, button, at) {
  const action = button.value;
  const place = new URL(button.formAction).hash;
  const then = typed;
  const answer = await ask(form.action, new FormData(form, button));
  show("no-answer", !answer);
  if (!answer) return;
  const fresh = planIn(answer);
  if (!fresh) return plainly(form, button);
  const stays = at.typed === typed && document.activeElement === at.busy;
  const folded = [...fresh.querySelectorAll("details.stage:not([open])")].map(({ id }) => id);
  if (action.startsWith("drop-")) rowDrop(form, action);
  merge(form, fresh);
  draftKeep(form);
  if (stays && NEXT.test(action)) foldAll(folded);
  if (stays) placeKeep(form, action, place);
  if (typed !== then) sumSoon();
}

/** @param {string[]} ids */
function foldAll(ids) {
  for (const id of ids) document.getElementById(id)?.removeAttribute("open");
}

/** As it goes without this file: to sign in again, or to see what the server says.
 *  @param {HTMLFormElement} form @param {HTMLButtonElement} button */
function plainly(form, button) {
  draftKeep(form);
  form.dataset.plain = "yes";
  form.inert = true;
  form.requestSubmit(button);
}

/** The page comes back whole; until then there is nothing to type into.
 *  @param {HTMLFormElement} form @param {HTMLButtonElement} button */
async function whole(form, button) {
  const busy = document.activeElement;
  const sent = new FormData(form, button);
  draftKeep(form, button.value.startsWith("save"));
  form.inert = true;
  const answer = await ask(form.action, sent);
  const main = answer?.page.getElementById("main");
  if (answer?.away) {
    leaving = true;
    location.assign(form.action);
  } else if (main && planIn(answer)) {
    document.getElementById("main")?.replaceWith(document.adoptNode(main));
    const drawn = planForm();
    if (drawn) draftKeep(drawn);
    if (!faultShow(main)) topShow(main);
  } else if (answer) {
    plainly(form, button);
  } else {
    form.inert = false;
    draftKeep(form);
    show("no-answer", true);
    if (busy instanceof HTMLElement) busy.focus({ preventScroll: true });
  }
}

/** @param {HTMLElement} main */
function topShow(main) {
  main.focus({ preventScroll: true });
  scrollTo(0, 0);
}

/** To the first field that is wrong; false where none is. @param {HTMLElement} where */
function faultShow(where) {
  const wrong = where.querySelector("#plan [aria-invalid]");
  if (!(wrong instanceof HTMLElement)) return false;
  go(wrong);
  return true;
}

/** To the row that was added, to where one was taken out, to the sum or to what keeps it from
 *  adding up. @param {HTMLFormElement} form @param {string} action @param {string} place */
function placeKeep(form, action, place) {
  if (action === "check" && faultShow(document.body)) return;
  const there = form.querySelector(place || "#stages");
  if (!(there instanceof HTMLElement)) return;
  const rows = { "add-f": ".feed-row", "add-p": ".part-row", "add-su": ".pair" };
  const kind = Object.entries(rows).find(([start]) => action.startsWith(start))?.[1];
  const row = kind ? [...(kind === ".pair" ? form : there).querySelectorAll(kind)].pop() : there;
  const field = action.startsWith("add-") ? row?.querySelector("select, input") : null;
  go(field instanceof HTMLElement ? field : there);
}

/** @param {HTMLElement} to */
function go(to) {
  for (let at = to.closest("details"); at; at = at.parentElement?.closest("details") ?? null) {
    at.open = true;
  }
  const able = to.matches("input, select, textarea, summary");
  const head = to instanceof HTMLDetailsElement ? to.querySelector("summary") : null;
  if (!able && !head) to.tabIndex = -1;
  (head ?? to).focus({ preventScroll: true });
  to.scrollIntoView({ block: able ? "center" : "start" });
}

document.addEventListener("input", (event) => {
  const form = planForm();
  if (!form?.contains(/** @type {Node} */ (event.target))) return;
  typed += 1;
  draftKeep(form);
  show("unsaved", true);
  sumSoon();
});

function sumSoon() {
  clearTimeout(pause);
  pause = setTimeout(() => presses.then(sumNow), PAUSE_MS);
}

/** The sum and what the folded rows say, from the server; the newest asking wins. */
async function sumNow() {
  const form = planForm();
  if (!form || form.inert) return;
  summing?.abort();
  const mine = new AbortController();
  summing = mine;
  const sent = new FormData(form);
  sent.append("do", "sum");
  const answer = await ask(form.action, sent, mine);
  if (summing !== mine || !form.isConnected) return;
  if (!answer?.page.getElementById("sums")) {
    show("sum-old", true);
    return addEventListener("online", sumSoon, { once: true });
  }
  for (const part of [...answer.page.body.children]) {
    const live = part.id && form.querySelector(`#${part.id}`);
    if (live) merge(live, part);
  }
}

document.addEventListener("click", (event) => {
  const form = planForm();
  const link = event.target instanceof Element && event.target.closest("a[data-forget]");
  if (link && form) draftDrop(form);
});

// Come back to by the browser's own button, the page is as it was left: on its way.
addEventListener("pageshow", (event) => {
  if (event.persisted && planForm()?.inert) location.reload();
});

const first = planForm();
if (first) {
  draftStart(first, () => {
    show("unsaved", true);
    sumSoon();
  });
}
