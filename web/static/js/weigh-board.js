// @ts-check
// The weigh board fills by itself. Every few seconds it says which parts it has, by their digests,
// and is sent those that differ; in these only the nodes that differ are put right. The form in
// between is never touched, and the focus stays where it is.

const EVERY_MS = 3000;

/** @param {ParentNode} from */
export const liveParts = (from) =>
  new Map(
    [...from.querySelectorAll("[data-live]")].map((part) => [
      part.getAttribute("data-live") ?? "", /** @type {HTMLElement} */ (part),
    ]),
  );

/** Make `old` say what `fresh` says, node by node; what is equal stays the node it was.
 * @param {Element} old
 * @param {Element} fresh */
export const bringUpToDate = (old, fresh) => {
  const before = [...old.childNodes];
  const after = [...fresh.childNodes];
  const alike = before.length === after.length
    && before.every((node, at) => node.nodeName === after[at]?.nodeName && keyOf(node) === keyOf(after[at]));
  if (!alike) {
    old.replaceChildren(...after);
    return;
  }
  before.forEach((node, at) => nodePutRight(node, /** @type {ChildNode} */ (after[at])));
};

/** @param {Node | undefined} node */
const keyOf = (node) => (node instanceof Element ? node.id : "");

/** @param {ChildNode} old
 * @param {ChildNode} fresh */
const nodePutRight = (old, fresh) => {
  if (old.isEqualNode(fresh)) return;
  if (!(old instanceof Element && fresh instanceof Element)) {
    old.replaceWith(fresh);
    return;
  }
  const said = old.textContent;
  attributesPutRight(old, fresh);
  bringUpToDate(old, fresh);
  if (old.nodeName === "TR" && old.id && old.textContent !== said) old.classList.add("arrives");
};

/** @param {Element} old
 * @param {Element} fresh */
const attributesPutRight = (old, fresh) => {
  for (const { name, value } of [...fresh.attributes]) {
    if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  }
  for (const { name } of [...old.attributes]) {
    // What somebody opened stays open.
    if (!fresh.hasAttribute(name) && name !== "open") old.removeAttribute(name);
  }
};

/** @param {HTMLElement} part
 * @param {{digest: string, html: string}} fresh */
const partPutRight = (part, { digest, html }) => {
  const held = part.contains(document.activeElement) ? document.activeElement?.id : null;
  const holder = new DOMParser().parseFromString(`<div>${html}</div>`, "text/html").body.firstElementChild;
  if (!holder) return;
  bringUpToDate(part, /** @type {Element} */ (document.adoptNode(holder)));
  part.dataset.digest = digest;
  if (held !== null && !part.contains(document.activeElement)) {
    ((held && document.getElementById(held)) || part).focus();
  }
};

const boardFollow = () => {
  const board = document.getElementById("board");
  const live = document.getElementById("live");
  const words = document.getElementById("live-words");
  const address = board?.dataset.changes;
  if (!board || !live || !words || !address) return;
  let tag = "";

  const say = (/** @type {string | undefined} */ text) => {
    if (text && live.textContent !== text) live.textContent = text;
  };

  /** Whether the page has every part that there is. */
  const look = async () => {
    const parts = liveParts(board);
    const have = [...parts].map(([name, part]) => `${name}.${part.dataset.digest}`).join("~");
    const answer = await fetch(`${address}?have=${encodeURIComponent(have)}`, {
      cache: "no-store",
      headers: tag ? { "If-None-Match": tag } : {},
    });
    if (answer.status === 304) return true;
    if (!answer.ok || answer.redirected) throw new Error(String(answer.status));
    const told = await answer.json();
    for (const fresh of told.parts) {
      const part = parts.get(fresh.name);
      if (part) partPutRight(part, fresh);
    }
    if (told.names.length !== parts.size) return false;
    tag = answer.headers.get("ETag") ?? "";
    return true;
  };

  const go = async () => {
    if (!document.hidden) {
      try {
        say((await look()) ? words.dataset.on : words.dataset.anew);
      } catch {
        say(words.dataset.off);
      }
    }
    setTimeout(go, EVERY_MS);
  };
  void go();
};

boardFollow();
