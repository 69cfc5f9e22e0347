// @ts-check
/**
 * Opens the app. A part of it that does not come, for a line that broke or a slip of the browser,
 * is asked for again with the whole page: a module that failed stays so as long as its page stands.
 * A few times by itself, and then as the person says.
 */
import { languageBegin } from "./language.js";

const BY_ITSELF = 3;
const FIRST_WAIT_MS = 300;
const LONG_MS = 20_000;

/** How often this page was asked for again: it outlives a reload, and needs no storage. */
const tries = Number(history.state?.tries ?? 0);

/** @param {number} tries */
function again(tries) {
  history.replaceState({ tries }, "");
  location.reload();
}

function notOpenShow() {
  const note = document.querySelector("[data-not-open]");
  if (!(note instanceof HTMLElement)) return;
  note.hidden = false;
  note.querySelector("button")?.addEventListener("click", () => again(0));
}

async function open() {
  const long = setTimeout(notOpenShow, LONG_MS);
  try {
    await languageBegin();
    await import("./app.js");
    if (tries) history.replaceState(null, "");
  } catch (cause) {
    console.error(cause);
    if (tries < BY_ITSELF) setTimeout(() => again(tries + 1), FIRST_WAIT_MS * 2 ** tries);
    else notOpenShow();
  } finally {
    clearTimeout(long);
  }
}

void open();
