// The light a person chose stays on this device. Loaded before the page is drawn, so that
// nothing flashes; the buttons in the foot come alive once the page is there.
(() => {
  const KEY = "light";
  const root = document.documentElement;
  const show = (light) => {
    if (light) root.dataset.light = light;
    else delete root.dataset.light;
  };
  const kept = () => {
    try {
      return localStorage.getItem(KEY) ?? "";
    } catch {
      return "";
    }
  };
  show(kept());
  document.addEventListener("DOMContentLoaded", () => {
    const buttons = [...document.querySelectorAll("button[data-light]")];
    const press = () => {
      for (const b of buttons) b.setAttribute("aria-pressed", String(b.dataset.light === kept()));
    };
    for (const button of buttons) {
      button.closest("[hidden]")?.removeAttribute("hidden");
      button.addEventListener("click", () => {
        try {
          localStorage.setItem(KEY, button.dataset.light);
        } catch {
          // A private window may refuse: the choice then lasts for this page.
        }
        show(button.dataset.light);
        press();
      });
    }
    press();
  });
})();
