"""Every screen of the bank app with long names: thin phones, large text, low sun, left hand."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.bank_phone import plan_for
from tests.browser.conftest import window_of
from tests.browser.test_bank_screens import CONTRASTS, CUT, TOO_SMALL, each_screen
from tests.browser.test_mixing import mix_for
from tests.web.pushing import fact, push, words
from tests.web.test_feed_tests_shared import drop
from tests.web.test_phone_feeding import match_before

#: Thirty-four letters without a space, and seventy with some: made up.
ONE_WORD = "Undertheoldwillowsbytheweirkeepers"
WORDS = f"{ONE_WORD} and the brambles of the far bank beyond"
MODES = {
    "as it comes": {"size": "100%", "light": "", "hand": "right"},
    "text twice as large": {"size": "200%", "light": "", "hand": "right"},
    "in the sun, by the left hand": {"size": "100%", "light": "sun", "hand": "left"},
    "all of it": {"size": "200%", "light": "sun", "hand": "left"},
}
SET = """({size, light, hand}) => {
  const root = document.documentElement;
  root.style.fontSize = size;
  root.dataset.light = light;
  root.dataset.hand = hand;
}"""


def named_at_length(world: Any) -> None:
    """Maud's day with everything in it, and every name as long as anybody may type it."""
    from bait import models as b
    from matches import models as m

    plan_for(world, "Maud")
    mix_for(world, "Maud")
    m.Membership.objects.create(
        club=world.club, person=world.captain, role=m.Role.WEIGHER, match=world.match
    )
    for n, bait in enumerate(b.Bait.objects.filter(club=world.club)):
        bait.name = f"{WORDS} {n}"[-80:] if n % 2 else f"{ONE_WORD}{n}"
        bait.save()
    b.Mix.objects.update(name=ONE_WORD)
    for n, stage in enumerate(b.Stage.objects.all()):
        stage.line = f"{ONE_WORD[:38]}{n}"
        stage.save()
    b.StageFeed.objects.update(amount="1234.5678")
    m.Peg.objects.update(notes=WORDS, depth_cm=240)
    m.Venue.objects.update(name=ONE_WORD, water=WORDS, cautions=f"{WORDS}. {ONE_WORD}!")
    m.Team.objects.filter(pk=world.alders.pk).update(name=ONE_WORD)
    m.Team.objects.filter(pk=world.teals.pk).update(name=WORDS)
    m.Person.objects.update(first_name=ONE_WORD, last_name="Oftheuppermeadowsandthelowerlock")
    for n, angler in enumerate(m.Angler.objects.all()):
        angler.name = f"{ONE_WORD}{n}" if n % 2 else f"{WORDS} {n}"
        angler.save()
    note = {"depth_cm": 240, "note": WORDS + ONE_WORD, "snags": ONE_WORD * 2}
    rivals = [
        fact(world, 41, body={"net": 1, "weight": 123_456, "unit": "g", "witness": None}),
        fact(world, 42, kind="peg_note", peg="1", body=note),
    ]
    assert words(push(world.secretary, *rivals)) == ["accepted", "accepted"]
    before = match_before(world, days=14)
    push(world.captain, *[drop(world, n, before, ms=3000) for n in (1, 2, 3)])
    m.Match.objects.update(name=f"{ONE_WORD} June Open")


def test_no_long_name_breaks_a_screen_in_any_light_hand_or_size_of_text(
    signed_in: Callable[..., Page], lasting_world: Any
) -> None:
    named_at_length(lasting_world)
    page = signed_in("maud", desk=False)
    page.goto("/bank/")
    page.locator("a.card").first.click()
    expect(page.locator("[data-signal]")).to_have_attribute("data-signal", "ok")
    found = {
        (screen, mode, width): wrong
        for screen in each_screen(page, lasting_world.match)
        for mode, how in MODES.items()
        for width in (320, 360)
        if (wrong := faults(page, how, width))
    }
    assert found == {}


def faults(page: Page, how: dict[str, str], width: int) -> list[str]:
    """What is cut off, too small for a thumb, or too pale."""
    page.set_viewport_size(window_of(width))
    page.evaluate(SET, how)
    wide = page.evaluate("document.documentElement.scrollWidth")
    seen = [f"{wide} wide"] if wide != width else []
    seen += page.evaluate(CUT) + page.evaluate(TOO_SMALL)
    return seen + (page.evaluate(CONTRASTS) if how["light"] else [])
