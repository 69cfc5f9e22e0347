"""A part of the app that does not come: asked for again, and at last offered in words."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, Route, expect

PART = "**/static/bank/store.js"
NOT_WHOLE = "The app has not come whole."
BY_ITSELF_MS = 30_000  # three times, after some waiting each


@pytest.fixture
def cut_off(signed_in: Callable[..., Page]) -> Callable[[int], tuple[Page, list[str]]]:
    """The app on a phone that never had it, with a part that breaks off so many times."""

    def opened(times: int) -> tuple[Page, list[str]]:
        page, asked = signed_in("tamsin", desk=False), []

        def answer(route: Route) -> None:
            asked.append(route.request.url)
            if len(asked) <= times:
                route.abort()
            else:
                route.continue_()

        # What the worker fetches for itself goes another way.
        page.route(PART, answer)
        page.goto("/bank/")
        return page, asked

    return opened


def test_a_part_that_breaks_off_once_is_asked_for_again_by_itself(
    cut_off: Callable[[int], tuple[Page, list[str]]],
) -> None:
    page, asked = cut_off(1)
    expect(page.get_by_role("heading", name="Your matches")).to_be_visible()
    assert len(asked) == 2
    page.wait_for_function("history.state === null")  # set once all of it is here


def test_a_part_that_never_comes_is_told_in_words_and_opens_at_a_press_when_it_does(
    cut_off: Callable[[int], tuple[Page, list[str]]],
) -> None:
    page, asked = cut_off(4)
    expect(page.get_by_text(NOT_WHOLE)).to_be_visible(timeout=BY_ITSELF_MS)
    assert len(asked) == 4
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_role("heading", name="Your matches")).to_be_visible()
    assert len(asked) == 5
