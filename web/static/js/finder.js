// @ts-check
// "Go to…": a list of the pages one may open, narrowed as one types. It is the list of the page
// that the button in the head leads to; without this file the button leads there.

import { holds, plain } from "./typed.js";

const KEPT = "finder-key";

/** Whether "/" opens the list; who speaks to the computer may have switched that off. */
const keyIsOn = () => {
  try {
    return localStorage.getItem(KEPT) !== "off";
  } catch {
    return true; // A private window may refuse.
  }
};

/** @param {HTMLDialogElement} dialog @param {HTMLElement} opener */
const finder = (dialog, opener) => {
  const typed = /** @type {HTMLInputElement} */ (dialog.querySelector("input"));
  const list = /** @type {HTMLElement} */ (dialog.querySelector("[role=listbox]"));
  const said = /** @type {HTMLElement} */ (dialog.querySelector("[role=status]"));
  const shown = () =>
    [.../** @type {NodeListOf<HTMLElement>} */ (list.querySelectorAll("li:not([hidden])"))];
  const chosen = () => list.querySelector("[aria-selected=true]");

  /** @param {HTMLElement | undefined} option */
  const choose = (option) => {
    chosen()?.setAttribute("aria-selected", "false");
    option?.setAttribute("aria-selected", "true");
    if (option) typed.setAttribute("aria-activedescendant", option.id);
    else typed.removeAttribute("aria-activedescendant");
    option?.scrollIntoView({ block: "nearest" });
  };

  const narrow = () => {
    const fits = holds(typed.value);
    for (const option of /** @type {HTMLCollectionOf<HTMLElement>} */ (list.children)) {
      option.hidden = !fits(plain(option.textContent ?? ""));
    }
    choose(shown()[0]);
    said.textContent = shown().length ? "" : (said.dataset.none ?? "");
  };

  const load = async () => {
    const answer = await fetch(dialog.dataset.address ?? "", { cache: "no-store" });
    if (!answer.ok || answer.redirected) throw new Error(String(answer.status));
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const links = /** @type {NodeListOf<HTMLAnchorElement>} */ (page.querySelectorAll("#pages a"));
    list.replaceChildren(
      ...[...links].map((link, at) => {
        const option = document.createElement("li");
        option.id = `finder-${at}`;
        option.setAttribute("role", "option");
        option.setAttribute("aria-selected", "false");
        option.dataset.address = link.getAttribute("href") ?? "";
        option.textContent = link.textContent;
        return option;
      }),
    );
    narrow();
  };

  const open = () => {
    if (dialog.open) return;
    typed.value = "";
    dialog.showModal();
    typed.focus();
    if (list.children.length) narrow();
    else load().catch(() => (said.textContent = said.dataset.away ?? ""));
  };

  /** @param {Element | null} option */
  const go = (option) => {
    if (option instanceof HTMLElement) location.assign(option.dataset.address ?? "");
  };

  /** @param {KeyboardEvent} event */
  const key = (event) => {
    const options = shown();
    const at = options.findIndex((option) => option === chosen());
    const steps = { ArrowDown: at + 1, ArrowUp: at - 1 };
    if (event.isComposing) return;
    if (event.key === "Enter" && chosen()) go(chosen());
    else if (event.key in steps && options.length) {
      const to = steps[/** @type {keyof typeof steps} */ (event.key)];
      choose(options[(to + options.length) % options.length]);
    } else return;
    event.preventDefault();
  };

  typed.addEventListener("input", narrow);
  typed.addEventListener("keydown", key);
  list.addEventListener("click", (event) =>
    go(/** @type {Element} */ (event.target).closest("[role=option]")),
  );
  dialog.querySelector("[value=close]")?.addEventListener("click", () => dialog.close());
  opener.addEventListener("click", (event) => {
    if (event.metaKey || event.ctrlKey || event.shiftKey) return;
    event.preventDefault();
    open();
  });
  document.addEventListener("keydown", (event) => {
    const busy = /** @type {Element} */ (event.target).closest?.("input, textarea, select, dialog");
    if (event.key !== "/" || busy || event.ctrlKey || event.altKey || event.metaKey) return;
    if (!keyIsOn() || event.defaultPrevented) return;
    event.preventDefault();
    open();
  });
};

/** On the page of the keys: "/" may be switched off.
 * @param {HTMLInputElement} box */
const keySwitch = (box) => {
  box.closest("p")?.removeAttribute("hidden");
  box.checked = keyIsOn();
  box.addEventListener("change", () => localStorage.setItem(KEPT, box.checked ? "on" : "off"));
};

const dialog = /** @type {HTMLDialogElement | null} */ (document.getElementById("finder"));
const opener = document.getElementById("go-to");
const box = /** @type {HTMLInputElement | null} */ (document.getElementById("finder-key"));
if (dialog && opener) finder(dialog, opener);
if (box) keySwitch(box);
