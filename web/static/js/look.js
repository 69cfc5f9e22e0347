// The light a person chose, for the pages and the phone app alike. Loaded before the page is
// drawn, so that nothing flashes. Pages come with it already; the phone app, and pages that stood
// in a cache, have it from here.
(() => {
  const KEY = "light";
  const YEAR_SECONDS = 365 * 24 * 3600;
  const LIGHTS = ["day", "sun", "night"];
  const root = document.documentElement;

  const kept = () => {
    try {
      return localStorage.getItem(KEY) ?? "";
    } catch {
      return ""; // A private window may refuse: the cookie is left.
    }
  };
  const inCookie = () => /(?:^|; )light=(\w+)/.exec(document.cookie)?.[1] ?? "";
  /** The browser's own bar: the head's colour in the light chosen, else what the page says. */
  const tint = () => {
    const water = getComputedStyle(root).getPropertyValue("--water").trim();
    for (const meta of document.querySelectorAll("meta[name=theme-color]")) {
      meta.dataset.asked ??= meta.content;
      meta.content = root.dataset.light && water ? water : meta.dataset.asked;
    }
  };
  const show = (light) => {
    if (LIGHTS.includes(light)) root.dataset.light = light;
    else delete root.dataset.light;
    tint();
  };
  const onPhone = (light) => {
    try {
      localStorage.setItem(KEY, light);
    } catch {
      // As above.
    }
  };
  const keep = (light) => {
    onPhone(light);
    const life = light ? YEAR_SECONDS : 0;
    const safe = location.protocol === "https:" ? "; secure" : "";
    document.cookie = `${KEY}=${light}; path=/; max-age=${life}; samesite=lax${safe}`;
  };
  /** Also on the account of who is signed in: such a page has a form, and so its token. */
  const tell = (light, address) => {
    const token = document.querySelector("[name=csrfmiddlewaretoken]");
    if (!token) return;
    const body = new URLSearchParams({ light, csrfmiddlewaretoken: token.value });
    fetch(address, { method: "POST", body, redirect: "manual", keepalive: true }).catch(() => {});
  };

  if (root.dataset.light) {
    onPhone(root.dataset.light);
    tint();
  } else show(inCookie() || kept());
  document.addEventListener("light-chosen", (event) => {
    keep(event.detail);
    show(event.detail);
  });
  document.addEventListener("DOMContentLoaded", () => {
    const buttons = [...document.querySelectorAll("button[data-light]")];
    const press = () => {
      const now = root.dataset.light ?? "";
      for (const b of buttons) b.setAttribute("aria-pressed", String(b.dataset.light === now));
    };
    for (const button of buttons) {
      const set = button.closest("fieldset");
      set.hidden = false;
      button.addEventListener("click", () => {
        keep(button.dataset.light);
        show(button.dataset.light);
        tell(button.dataset.light, set.dataset.address);
        press();
      });
    }
    press();
  });
})();
