// @ts-check
// Whether a field holds something else than its page came with.

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Field */

/** @param {HTMLFormElement} form @returns {Field[]} */
export function fieldsOf(form) {
  return /** @type {Field[]} */ ([...form.querySelectorAll("input, select, textarea")]);
}

/** @param {Field} field */
export function isChanged(field) {
  if (field instanceof HTMLSelectElement) {
    const own = [...field.options].find((option) => option.defaultSelected) ?? field.options[0];
    return field.selectedOptions[0] !== own;
  }
  if (isTick(field)) return field.checked !== field.defaultChecked;
  return field.type !== "hidden" && field.value !== field.defaultValue;
}

/** @param {Field} field @returns {field is HTMLInputElement} */
export function isTick(field) {
  return field instanceof HTMLInputElement && field.type === "checkbox";
}
