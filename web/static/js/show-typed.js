// @ts-check
// A button that shows what was typed into the passwords of its form. Without this file it is not
// there. Sending hides them again: a browser may offer later what stood in an open field.
/** @param {HTMLButtonElement} button */
const ready = (button) => {
  const form = button.form;
  if (!form) return;
  /** @type {NodeListOf<HTMLInputElement>} */
  const fields = form.querySelectorAll("input[type=password]");
  for (const field of fields) {
    // An open field is any field to a browser: nothing may change it or send it to be looked at.
    field.spellcheck = false;
    field.autocapitalize = "none";
    field.setAttribute("autocorrect", "off");
  }
  /** @param {boolean} shown */
  const show = (shown) => {
    for (const field of fields) field.type = shown ? "text" : "password";
    button.setAttribute("aria-pressed", String(shown));
  };
  button.addEventListener("click", () => show(button.getAttribute("aria-pressed") !== "true"));
  form.addEventListener("submit", () => show(false));
  button.closest("[hidden]")?.removeAttribute("hidden");
};

for (const button of document.querySelectorAll("button[data-show-typed]")) {
  ready(/** @type {HTMLButtonElement} */ (button));
}
