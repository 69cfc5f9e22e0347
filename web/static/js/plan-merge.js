// @ts-check
// Brings the page that is in front of somebody up to date with the server's, piece by piece, and
// never with an older value: what holds something typed, chosen or ticked stays the very same field.

/** What a person changes; the server's word for it is older. */
const THEIRS = new Set(["checked", "open", "selected"]);

/** Makes `live` say what `fresh` says. New rows come in; none that holds something goes out.
 *  @param {Element} live @param {Element} fresh */
export function merge(live, fresh) {
  attributesTake(live, fresh);
  if (live instanceof HTMLDetailsElement && fresh.querySelector("[aria-invalid], .field-error")) {
    live.open = true;
  }
  if (live instanceof HTMLTextAreaElement) return;
  const chosen = live instanceof HTMLSelectElement ? live.value : null;
  childrenTake(live, fresh);
  if (live instanceof HTMLSelectElement && chosen !== null) live.value = chosen;
}

/** @param {Element} live @param {Element} fresh */
function childrenTake(live, fresh) {
  const wanted = [...fresh.childNodes];
  const keys = new Set(wanted.map(keyOf).filter(Boolean));
  let at = live.firstChild;
  for (const node of wanted) {
    const same = sameFrom(at, node, keys);
    if (!same) {
      live.insertBefore(document.importNode(node, true), at);
      continue;
    }
    takeOut(at, same);
    if (same instanceof Element) merge(same, /** @type {Element} */ (node));
    else if (same.nodeValue !== node.nodeValue) same.nodeValue = node.nodeValue;
    at = same.nextSibling;
  }
  takeOut(at, null);
}

/** @param {Element} live @param {Element} fresh */
function attributesTake(live, fresh) {
  const kept = live instanceof HTMLInputElement ? new Set([...THEIRS, "value"]) : THEIRS;
  for (const { name, value } of [...fresh.attributes]) {
    if (!kept.has(name) && live.getAttribute(name) !== value) live.setAttribute(name, value);
  }
  for (const { name } of [...live.attributes]) {
    if (!kept.has(name) && name !== "tabindex" && !fresh.hasAttribute(name)) {
      live.removeAttribute(name);
    }
  }
}

/** What tells a piece from its neighbours, whatever row it moved to; "" for most.
 *  @param {Node} node @returns {string} */
function keyOf(node) {
  if (!(node instanceof Element)) return "";
  if (node.nodeName === "OPTION") return `option ${node.getAttribute("value")}`;
  return node.id || node.getAttribute("name") || node.querySelector("[id]")?.id || "";
}

/** The piece from `at` on that `node` is the newer form of. @param {ChildNode | null} at
 *  @param {Node} node @param {Set<string>} keys */
function sameFrom(at, node, keys) {
  const key = keyOf(node);
  for (let found = at; found; found = found.nextSibling) {
    const its = keyOf(found);
    if (found.nodeName === node.nodeName && its === key) return found;
    if (!key && (its ? keys.has(its) : node instanceof Text)) return null;
  }
  return null;
}

/** @param {ChildNode | null} from @param {ChildNode | null} to */
function takeOut(from, to) {
  for (let at = from; at && at !== to; ) {
    const next = at.nextSibling;
    if (!isHeld(at)) at.remove();
    at = next;
  }
}

/** Whether somebody is in it, or it holds what they wrote. @param {Node} node */
function isHeld(node) {
  if (node instanceof HTMLOptionElement) return node.selected;
  if (!(node instanceof Element)) return false;
  const fields = [node, ...node.querySelectorAll("input, select, textarea")];
  return node.contains(document.activeElement) || fields.some((field) =>
    field instanceof HTMLInputElement && field.type === "checkbox" ? field.checked
      : "value" in field && !(field instanceof HTMLButtonElement) && field.value !== "");
}

/** Takes a row out as "drop-feed-1-0" says, and lets those after it move up: the names of fields
 *  count up from 0 without a hole. Balls keep to their mix.
 *  @param {HTMLFormElement} form @param {string} action */
export function rowDrop(form, action) {
  const [, what, ...at] = action.split("-");
  const gone = Number(at.pop());
  const within = { feed: `stage-${at[0]}-feed-`, part: `mix-${at[0]}-part-` }[what ?? ""];
  const before = within ?? `${what}-`;
  form.querySelector(`#${before}${gone}`)?.remove();
  for (const part of form.querySelectorAll("[id], [name]")) {
    for (const name of ["id", "name"]) {
      const was = part.getAttribute(name);
      if (was?.startsWith(before)) part.setAttribute(name, before + up(was.slice(before.length), gone));
    }
  }
  if (what !== "mix") return;
  for (const option of form.querySelectorAll('select[name$="-balls_mix"] option')) {
    if (option.getAttribute("value") === String(gone)) option.remove();
    else option.setAttribute("value", up(option.getAttribute("value") ?? "", gone));
  }
}

/** "3-kind" as "2-kind", where one before it is gone. @param {string} rest @param {number} gone */
function up(rest, gone) {
  return rest.replace(/^\d+/, (n) => String(Number(n) - (Number(n) > gone ? 1 : 0)));
}
