"""A page by keyboard alone: what Tab comes to, in which order, whether one sees where one is,
whether the dialog of the head opens by Enter and closes by Escape, and whether what is pressed is
large enough.

Sources: WCAG 2.2, 2.1.1 and 2.1.2 (reached, no trap), 2.4.3 (order), 2.4.7 (focus seen), 2.5.8
(24 px; links within a sentence and what a label enlarges are left out); WAI-ARIA Authoring
Practices, "Dialog (Modal) Pattern" (the focus goes in, and back where it was). 44 px on a phone:
common practice, no source.
"""

from __future__ import annotations

from playwright.sync_api import Page

LEAST = 24
THUMB = 44
PARTS_MOST = 7  # of a date with its time and its button

#: Everything that Tab should come to, in the page's order, each given a number.
NUMBER = """() => {
  const wanted = 'a[href], button, input:not([type=hidden]), select, textarea, summary,'
    + ' [tabindex="0"]';
  let n = 0;
  const groups = new Set();
  for (const one of document.querySelectorAll(wanted)) {
    if (one.disabled || one.tabIndex < 0 || !one.checkVisibility({visibilityProperty: true}))
      continue;
    if (one.closest('[inert]')) continue;
    // Of radio buttons of one name Tab comes to one.
    if (one.type === 'radio') {
      const group = [...document.getElementsByName(one.name)].filter((r) => r.form === one.form);
      const there = group.find((r) => r.checked) ?? one;
      if (groups.has(there) || there !== one) continue;
      groups.add(there);
    }
    one.dataset.turn = String(n++);
  }
  return n;
}"""
#: Where the focus is, and whether it shows: the way it looks differs from how it looks without.
#: Of a date or a time Tab comes to each part in turn; it is not left in between.
HERE = """() => {
  const one = document.activeElement;
  if (!one || one === document.body) return null;
  const look = (e) => { const s = getComputedStyle(e);
    return [s.outlineStyle === 'none' ? '' : s.outlineWidth + s.outlineColor, s.boxShadow,
      s.borderColor, s.backgroundColor].join('|'); };
  const label = one.closest('label');
  const parts = ['date', 'time', 'datetime-local'].includes(one.type);
  const html = one.outerHTML.slice(0, 140);
  const told = {turn: one.dataset.turn ?? null, seen: true, html};
  if (parts) return told;
  const now = look(one) + (label ? look(label) : '');
  one.blur();
  const then = look(one) + (label ? look(label) : '');
  one.focus({focusVisible: true, preventScroll: true});
  return {...told, seen: now !== then};
}"""
SMALL = """(least) => [...document.querySelectorAll(
    'a[href], button, input:not([type=hidden]), select, textarea, summary')]
  .filter((one) => one.checkVisibility({visibilityProperty: true}) && !one.closest('.skip'))
  .filter((one) => !(one.tagName === 'A' && getComputedStyle(one).display === 'inline'))
  .map((one) => [one, (one.closest('label') ?? one).getBoundingClientRect(),
    one.getBoundingClientRect()])
  .filter(([one, box, own]) => box.width > 1 && own.width > 1
    && (box.height < least - 0.5 || box.width < Math.min(least, 24) - 0.5))
  .map(([one, box]) => `${Math.round(box.width)} x ${Math.round(box.height)}: `
    + one.outerHTML.slice(0, 140))"""

#: The dialog that is open: whether it has the focus; null where none is.
DIALOG = "() => document.querySelector('dialog[open]')?.contains(document.activeElement) ?? null"


def keys_found(page: Page) -> list[str]:
    """What is amiss on the page as it stands, one line a finding."""
    page.set_viewport_size({"width": 1280, "height": 900})
    many = int(page.evaluate(NUMBER))
    found, reached = [], list[int]()
    for _press in range(many * PARTS_MOST):
        page.keyboard.press("Tab")
        here = page.evaluate(HERE)
        if here is None or (reached and here["turn"] == str(reached[0])):
            break
        if not here["seen"]:
            found.append(f"focus is not seen: {here['html']}")
        if here["turn"] is not None and int(here["turn"]) not in reached[-1:]:
            reached.append(int(here["turn"]))
    if reached != sorted(reached):
        found.append(f"Tab goes about in another order than the page's: {reached}")
    for turn in sorted(set(range(many)) - set(reached)):
        html = page.locator(f'[data-turn="{turn}"]').evaluate("e => e.outerHTML.slice(0, 140)")
        found.append(f"Tab does not come to: {html}")
    found += _dialog_found(page)
    page.set_viewport_size({"width": 360, "height": 740})
    found += [f"small at 360: {it}" for it in page.evaluate(SMALL, THUMB)]
    page.set_viewport_size({"width": 1280, "height": 900})
    found += [f"small at 1280: {it}" for it in page.evaluate(SMALL, LEAST)]
    return found


def _dialog_found(page: Page) -> list[str]:
    """Of the one dialog there is, "Go to…", which the desk's head opens."""
    if not page.locator("#go-to").count():
        return []
    page.locator("#go-to").focus()
    page.keyboard.press("Enter")
    inside = page.evaluate(DIALOG)
    if inside is None:
        return ["Enter does not open the dialog of the head"]
    found = [] if inside else ["the open dialog does not have the focus"]
    page.keyboard.press("Escape")
    if page.evaluate(DIALOG) is not None:
        found.append("Escape does not close the dialog")
    elif page.evaluate("document.activeElement?.id") != "go-to":
        found.append("from the dialog the focus does not go back where it was")
    return found
