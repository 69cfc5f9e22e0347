// @ts-check
// Keeps what is typed into a plan in this tab until it is saved, so that a reload, a look at
// another page or a lost signal costs nothing. Without this file the page works as any form.

/** @typedef {{ version: string, saving: boolean, fields: [string, string][] }} Draft */

const LEFT_OUT = new Set(["csrfmiddlewaretoken", "do", "newer"]);

/** While the typed is being fetched back, the page as it came does not write over it. */
let coming = false;

/** One place for each person and plan. @param {HTMLFormElement} form */
function place(form) {
  return `plan ${form.dataset.draft}`;
}

/** @param {HTMLFormElement} form @param {boolean} [saving] */
export function draftKeep(form, saving = false) {
  if (coming) return;
  const fields = [...new FormData(form)].filter(([name]) => !LEFT_OUT.has(name));
  const version = new FormData(form).get("version");
  try {
    sessionStorage.setItem(place(form), JSON.stringify({ version, saving, fields }));
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
function draftDrop(form) {
  try {
    sessionStorage.removeItem(place(form));
  } catch {
    // Nothing was kept then.
  }
}

/** The draft as the server draws it, in place of the form. @param {HTMLFormElement} form */
async function draftBring(form) {
  const draft = draftOf(form);
  const version = new FormData(form).get("version");
  if (!draft) return;
  if (draft.saving && draft.version !== version) return draftDrop(form); // it was saved
  const body = new URLSearchParams(draft.fields);
  body.append("csrfmiddlewaretoken", String(new FormData(form).get("csrfmiddlewaretoken")));
  body.append("do", "bring-back");
  coming = true;
  try {
    const answer = await fetch(location.href, { method: "POST", body });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = page.getElementById("plan");
    if (!fresh) return;
    form.replaceWith(document.adoptNode(fresh));
    const said = document.getElementById("typed-back");
    if (said) said.hidden = false;
  } catch {
    addEventListener("online", () => draftBring(form), { once: true });
  } finally {
    coming = false;
  }
}

/** @returns {HTMLFormElement | null} */
function planForm() {
  return /** @type {HTMLFormElement | null} */ (document.getElementById("plan"));
}

document.addEventListener("input", (event) => {
  const form = planForm();
  if (form?.contains(/** @type {Node} */ (event.target))) draftKeep(form);
});

document.addEventListener("click", (event) => {
  const form = planForm();
  const link = event.target instanceof Element && event.target.closest("a[data-forget]");
  if (link && form) draftDrop(form);
});

const first = planForm();
if (first?.dataset.unsaved) draftKeep(first);
else if (first) draftBring(first);
