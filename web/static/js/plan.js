// @ts-check
// Adds rows, takes them out and adds up without loading the page anew, so that nobody loses their
// place. Without this file each press sends the form, and the page comes back whole.

const QUIETLY = /^(add|drop)-(stage|hook|mix|substitute|feed|part)\b|^check$/;

document.addEventListener("submit", (event) => {
  const form = /** @type {HTMLFormElement} */ (event.target);
  const button = /** @type {HTMLButtonElement | null} */ (event.submitter);
  if (form.id !== "plan" || !button || !QUIETLY.test(button.value) || form.dataset.plain) return;
  event.preventDefault();
  void press(form, button);
});

/** @param {HTMLFormElement} form @param {HTMLButtonElement} button */
async function press(form, button) {
  if (form.getAttribute("aria-busy") === "true") return;
  form.setAttribute("aria-busy", "true");
  const page = await ask(form, button);
  const fresh = page?.getElementById("plan");
  if (!fresh) {
    form.removeAttribute("aria-busy");
    form.dataset.plain = "yes"; // as it goes without this file
    form.requestSubmit(button);
    return;
  }
  const open = new Set(folds(form).filter(([fold]) => fold.open).map(([, name]) => name));
  const added = document.adoptNode(fresh);
  form.replaceWith(added);
  for (const [fold, name] of folds(added)) if (open.has(name)) fold.open = true;
  placeKeep(button, added);
}

/** @param {HTMLFormElement} form @param {HTMLButtonElement} button */
async function ask(form, button) {
  const body = new URLSearchParams();
  for (const [name, value] of new FormData(form, button)) body.append(name, String(value));
  try {
    const answer = await fetch(form.action, { method: "POST", body });
    if (!answer.ok || answer.redirected) return null;
    return new DOMParser().parseFromString(await answer.text(), "text/html");
  } catch {
    return null; // no signal: the browser says so in its own words
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
