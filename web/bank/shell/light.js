// @ts-check
/** The light a person chose, under the same name as on the other pages of the site. */
const KEY = "light";
const root = document.documentElement;

function lightKept() {
  try {
    return localStorage.getItem(KEY) ?? "";
  } catch {
    // A private window may refuse: then the choice lasts for this page.
    return root.dataset.light ?? "";
  }
}

/** @param {string} light */
function lightShow(light) {
  if (light) root.dataset.light = light;
  else delete root.dataset.light;
}

export const lightIsSun = () => root.dataset.light === "sun";

/** The sun theme, or back to what the device says. */
export function lightToggle() {
  const light = lightIsSun() ? "" : "sun";
  try {
    localStorage.setItem(KEY, light);
  } catch {
    // As above.
  }
  lightShow(light);
}

lightShow(lightKept());
