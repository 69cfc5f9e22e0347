"""What axe-core finds on a page: in every theme, narrow and wide.

Rules: WCAG 2.2 A and AA, and axe's own best practices, narrow and wide by day; in the other
themes, which change colours alone, those that colours decide.
"""

from __future__ import annotations

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

#: The value of data-light on the root.
THEMES = ("day", "sun", "night")
WIDTHS = (360, 1280)
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
ASK = """async ({theme, only, tags}) => {
  document.documentElement.dataset.light = theme;
  // What moves is looked at when it has come to rest.
  for (const one of document.getAnimations()) one.finish();
  for (const one of document.querySelectorAll("details")) one.open = true;
  // What sticks covers now this, now that, and so does the link over the head while it has the
  // focus: the page is looked at with each in its own place.
  document.activeElement?.blur();
  for (const one of document.querySelectorAll("body *"))
    if (getComputedStyle(one).position === "sticky") one.style.position = "static";
  const run = only ? {type: "rule", values: only} : {type: "tag", values: tags};
  // Off unless it is asked for by name: targets of 24 px, WCAG 2.5.8.
  const rules = only ? {} : {"target-size": {enabled: true}};
  const found = await axe.run(document, {resultTypes: ["violations"], runOnly: run, rules});
  return found.violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.html.slice(0, 160)}`));
}"""
COLOURS = ["color-contrast", "link-in-text-block"]


def axe_begin(page: Page) -> None:
    """Into this page and each it goes on to. Our policy lets no page load it: it goes in as source
    through the debugger."""
    page.add_init_script(Axe().axe_script)


def axe_found(page: Page) -> list[str]:
    """What is amiss on the page as it stands, one line a finding; everything that opens is open."""
    found: list[str] = []
    for theme, width in (*((theme, WIDTHS[0]) for theme in THEMES), (THEMES[0], WIDTHS[1])):
        page.set_viewport_size({"width": width, "height": 900})
        only = COLOURS if theme != THEMES[0] else None
        asked = {"theme": theme, "only": only, "tags": TAGS}
        found += [f"{theme} at {width}: {it}" for it in page.evaluate(ASK, asked)]
    return found
