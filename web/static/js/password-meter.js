// @ts-check
// Words under a new password, while it is typed: how it stands against the rules of its form. What
// everybody takes is looked for when it is sent. Without this file nothing is said.
const FEW = 6;
const GOOD = 20;

/** @param {string} typed @param {number} least @param {number} most */
const said = (typed, least, most) => {
  const signs = [...typed];
  if (!signs.length) return "";
  if (signs.length < least) return "short";
  if (signs.length > most) return "long";
  if (new Set(signs).size < FEW) return "few";
  return signs.length < GOOD ? "fair" : "good";
};

/** @param {HTMLInputElement} field @param {HTMLElement} meter */
const ready = (field, meter) => {
  field.after(meter);
  meter.hidden = false;
  field.addEventListener("input", () => {
    const now = said(field.value, Number(field.dataset.least), Number(field.dataset.most));
    for (const words of meter.querySelectorAll("[data-says]")) {
      /** @type {HTMLElement} */ (words).hidden = words.getAttribute("data-says") !== now;
    }
  });
};

const field = document.querySelector("input[data-least]");
const meter = document.querySelector("[data-meter]");
if (field instanceof HTMLInputElement && meter instanceof HTMLElement) ready(field, meter);
