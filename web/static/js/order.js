// @ts-check
// Follows the work on an order until it is over, says when what the page shows has changed, and
// copies a shop's text. Without this file the page looks again by itself, and the text can be
// selected by hand.

const FASTEST_MS = 400;
const SLOWEST_MS = 4000;
const LOOK_MS = 8000;

/** @param {HTMLElement} work */
async function follow(work) {
  const words = document.getElementById("work-words");
  const percent = /** @type {HTMLProgressElement} */ (document.getElementById("work-percent"));
  let wait = FASTEST_MS;
  for (;;) {
    await new Promise((again) => setTimeout(again, wait));
    const now = await ask(work.dataset.work ?? "");
    if (now?.state === "done" || now?.state === "failed") {
      location.reload();
      return;
    }
    if (now) {
      percent.value = now.percent;
      if (words && words.textContent !== now.progress) words.textContent = now.progress;
    }
    wait = Math.min(SLOWEST_MS, wait * 1.25);
  }
}

/** @param {string} address @returns {Promise<any>} */
async function ask(address) {
  try {
    const answer = await fetch(address, { headers: { Accept: "application/json" } });
    return answer.ok ? await answer.json() : null;
  } catch {
    return null; // no signal: ask again later
  }
}

/** @param {HTMLButtonElement} button */
function copyOffer(button) {
  const text = /** @type {HTMLTextAreaElement} */ (document.getElementById(button.dataset.copy ?? ""));
  const said = /** @type {HTMLElement} */ (button.nextElementSibling);
  button.hidden = false;
  button.addEventListener("click", async () => {
    await navigator.clipboard.writeText(text.value);
    said.textContent = said.dataset.copied ?? "";
  });
}

/**
 * Says so when a plan, a price or another captain changed what this page shows.
 * @param {HTMLElement} box
 */
async function watch(box) {
  for (;;) {
    await new Promise((again) => setTimeout(again, LOOK_MS));
    if (document.visibilityState === "hidden") continue;
    const now = await ask(box.dataset.stands ?? "");
    if (now && JSON.stringify(now) !== JSON.stringify(JSON.parse(box.dataset.state ?? "null"))) {
      box.hidden = false;
      return;
    }
  }
}

const work = document.getElementById("work");
const stands = document.getElementById("stands");
if (work) void follow(work);
else if (stands) void watch(stands);
if (navigator.clipboard) {
  for (const button of document.querySelectorAll("button[data-copy]")) {
    copyOffer(/** @type {HTMLButtonElement} */ (button));
  }
}
