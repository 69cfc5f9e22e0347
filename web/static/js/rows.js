// @ts-check
// Keys in a form of many like rows. Enter and arrow down go to the same field of the next row,
// arrow up to the one before; from the last, Enter goes to the button that saves. Nothing is sent
// halfway. Forms say `data-rows`, rows `data-row`, the button `data-saves`.

const FIELDS = "input:not([type=hidden], [type=checkbox], [type=radio]), select, textarea";
/** What has arrows of its own. */
const STEPPED = ["number", "date", "time", "datetime-local", "range"];

/** @param {Element} row @returns {HTMLElement[]} */
const fieldsOf = (row) => [.../** @type {NodeListOf<HTMLElement>} */ (row.querySelectorAll(FIELDS))];

/** The field `step` rows further at the same place of its row; rows that are shut are left out.
 * @param {HTMLInputElement} field @param {number} step */
const along = (field, step) => {
  const form = /** @type {HTMLElement} */ (field.closest("[data-rows]"));
  const here = /** @type {Element} */ (field.closest("[data-row]"));
  const place = fieldsOf(here).indexOf(field);
  const rows = [...form.querySelectorAll("[data-row]")].filter((row) => {
    const other = fieldsOf(row)[place];
    return other?.nodeName === "INPUT" && other.checkVisibility();
  });
  const next = rows[rows.indexOf(here) + step];
  return next && /** @type {HTMLInputElement} */ (fieldsOf(next)[place]);
};

document.addEventListener("keydown", (event) => {
  const field = event.target;
  if (!(field instanceof HTMLInputElement) || !field.closest("[data-rows] [data-row]")) return;
  const step = { Enter: 1, ArrowDown: 1, ArrowUp: -1 }[event.key];
  const bare = !event.altKey && !event.ctrlKey && !event.metaKey && !event.shiftKey;
  if (!step || !bare || event.isComposing) return;
  if (event.key !== "Enter" && (STEPPED.includes(field.type) || field.list)) return;
  event.preventDefault();
  const next = along(field, step);
  if (next) {
    next.focus();
    next.select();
  } else if (event.key === "Enter") {
    const saves = field.form?.querySelector("[data-saves]");
    if (saves instanceof HTMLElement) saves.focus();
  }
});
