// A box above a long list that leaves only the rows with what is typed into it. The list says in
// data-find what the box is called; without this script the list stands as it is.
import { holds, plain } from "./typed.js";

const LONG = 25; // rows: fewer are seen at a glance

const rowsOf = (list) => [...(list.tBodies?.[0]?.rows ?? list.children)];

const narrow = (rows, typed, count) => {
  const fits = holds(typed);
  let left = 0;
  for (const { row, text } of rows) {
    row.hidden = !fits(text);
    if (!row.hidden) left += 1;
  }
  count.textContent = plain(typed).trim() ? `${left} / ${rows.length}` : "";
};

document.querySelectorAll("[data-find]").forEach((list, n) => {
  const rows = rowsOf(list).map((row) => ({ row, text: plain(row.textContent) }));
  if (rows.length < LONG) return;
  const label = document.createElement("label");
  const box = document.createElement("input");
  const count = document.createElement("output");
  const field = document.createElement("div");
  box.id = `find-rows-${n}`;
  box.type = "search";
  box.autocomplete = "off";
  label.htmlFor = box.id;
  count.htmlFor.add(box.id);
  label.textContent = list.dataset.find;
  field.className = "field find-rows no-print";
  field.append(label, box, count);
  (list.closest(".scroll") ?? list).before(field);
  box.addEventListener("input", () => narrow(rows, box.value, count));
  // Enter in a form would send it.
  box.addEventListener("keydown", (event) => {
    if (event.key === "Enter") event.preventDefault();
  });
});
