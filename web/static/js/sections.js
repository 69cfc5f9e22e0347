// @ts-check
// A tap on a peg in the picture does what typing its number and pressing the button does: the
// nearer end of its section moves there.

const form = /** @type {HTMLFormElement | null} */ (document.getElementById("sections-form"));
const to = /** @type {HTMLInputElement | null} */ (document.getElementById("to"));
const press = document.getElementById("to-press");
const words = document.getElementById("tap-words");

if (form && to && press && words) {
  words.hidden = false;
  form.classList.add("taps");
  form.addEventListener("click", (event) => {
    const peg = event.target instanceof Element ? event.target.closest("g[data-peg]") : null;
    if (!peg) return;
    to.value = peg.getAttribute("data-peg") ?? "";
    press.click();
  });
}
