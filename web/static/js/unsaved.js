// @ts-check
// A form of several fields in which something was typed is not left without a question: pages of
// the desk are kept by no browser, so that going back would bring it empty. A form that was shown
// again unsaved says `data-unsaved`. A plan keeps its own.

import { fieldsOf, isChanged } from "./changed.js";

const TYPED = "input:not([type=hidden], [type=checkbox], [type=radio], [type=file]), textarea";
const SEVERAL = 3;

/** @type {EventTarget | null} */
let sent = null;

/** @param {HTMLFormElement} form */
const isUnsaved = (form) => form !== sent && !form.dataset.draft
  && form.querySelectorAll(TYPED).length >= SEVERAL
  && (Boolean(form.dataset.unsaved) || fieldsOf(form).some(isChanged));

document.addEventListener("submit", (event) => {
  sent = event.target;
});
addEventListener("beforeunload", (event) => {
  if ([...document.querySelectorAll("form")].some((form) => form.method === "post" && isUnsaved(form)))
    event.preventDefault();
});
