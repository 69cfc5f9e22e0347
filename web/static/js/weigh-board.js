// @ts-check
// The weigh board fills by itself. The small JSON is asked for every few seconds with the tag of
// what is on the screen; only when it changed is the page fetched, and its live parts put in
// place of the old ones. The form in between is never touched.

const EVERY_MS = 3000;

/** @param {Document} from */
export const liveParts = (from) =>
  new Map([...from.querySelectorAll("[data-live]")].map((part) => [part.getAttribute("data-live"), part]));

/** Put `fresh` in place of `old` where they differ; rows that say something new light up.
 * @param {Element} old
 * @param {Element} fresh */
export const partReplace = (old, fresh) => {
  if (old.isEqualNode(fresh)) return false;
  const held = old.contains(document.activeElement) ? document.activeElement?.id : "";
  const before = new Map([...old.querySelectorAll("tr[id]")].map((row) => [row.id, row.textContent]));
  const adopted = document.adoptNode(fresh);
  old.replaceWith(adopted);
  for (const row of adopted.querySelectorAll("tr[id]")) {
    if (before.has(row.id) && before.get(row.id) !== row.textContent) row.classList.add("arrives");
  }
  if (held) document.getElementById(held)?.focus();
  return true;
};

const boardFollow = () => {
  const board = document.getElementById("board");
  const live = document.getElementById("live");
  const words = document.getElementById("live-words");
  const address = board?.dataset.board;
  if (!board || !live || !words || !address) return;
  let tag = "";

  const say = (/** @type {string | undefined} */ text) => {
    if (text && live.textContent !== text) live.textContent = text;
  };

  const look = async () => {
    const answer = await fetch(address, {
      cache: "no-store",
      headers: tag ? { "If-None-Match": tag } : {},
    });
    if (answer.status !== 304 && !answer.ok) throw new Error(String(answer.status));
    const now = answer.headers.get("ETag") ?? "";
    if (answer.status === 304 || now === tag) return;
    const page = await fetch(location.pathname, { cache: "no-store" });
    if (!page.ok || page.redirected) throw new Error(String(page.status));
    const fresh = new DOMParser().parseFromString(await page.text(), "text/html");
    const parts = liveParts(fresh);
    for (const [name, old] of liveParts(document)) {
      const part = parts.get(name);
      if (part) partReplace(old, part);
    }
    tag = now;
  };

  const go = async () => {
    if (!document.hidden) {
      try {
        await look();
        say(words.dataset.on);
      } catch {
        say(words.dataset.off);
      }
    }
    setTimeout(go, EVERY_MS);
  };
  void go();
};

boardFollow();
