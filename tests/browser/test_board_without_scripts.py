"""Pages in Chromium, as Django's own client was given them: no server, no cookie, no wait."""

from __future__ import annotations

from typing import Any

from django.contrib.staticfiles import finders
from django.test import Client
from playwright.sync_api import Browser, Page, Route

from tests.addresses import addresses
from tests.grades.pages import readers
from tests.rights_rows import rows_make

SITE = "http://localhost"
STATIC = SITE + "/static/"


def pages_told(names: dict[str, str]) -> dict[str, Any]:
    """The answer of each of these pages, by its name; given is who reads it."""
    rows = rows_make()
    where, told, clients = dict(addresses(rows.known)), {}, {}
    for name, who in names.items():
        if who not in clients:
            clients[who] = Client(HTTP_HOST="localhost")
            if (person := rows.people[who]) is not None:
                clients[who].force_login(person)
        told[name] = clients[who].get(where[name])
        assert told[name].status_code == 200, name
    return told


def shown(page: Page, answer: Any) -> None:
    """The page with its files; what its scripts ask for later does not come."""

    def give(route: Route) -> None:
        asked = route.request.url.partition("?")[0]
        if asked == SITE + answer.request["PATH_INFO"]:
            route.fulfill(headers=dict(answer.items()), body=answer.content)
        elif asked.startswith(STATIC) and (file := finders.find(asked.removeprefix(STATIC))):
            route.fulfill(path=file)
        else:
            route.abort()

    page.unroute_all()
    page.route("**/*", give)
    page.goto(SITE + answer.request["PATH_INFO"])


def test_the_board_is_read_without_scripts(browser: Browser, db: None) -> None:
    """Nothing is shown that would do nothing, and what matters is there in words."""
    told = pages_told({name: who for name, who in readers().items() if "board:" in name})
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    for answer in told.values():
        shown(page, answer)
        assert page.get_by_role("heading", level=1).is_visible()
        # Scripts listen to buttons outside of forms; the one for signing out is in one.
        assert page.locator("button:visible:not(form button)").count() == 0
    shown(page, told["board:latest"])
    assert (
        "9.000 kg" in page.get_by_role("table").filter(has_text="Wilmot Crane").first.inner_text()
    )
    shown(page, told["board:draw"])
    page.get_by_text("Check it another way").first.click()
    assert page.get_by_text("The SHA-256 of the seed’s 32 bytes is the commitment.").is_visible()
    shown(page, told["board:league"])
    assert page.get_by_role("table", name="Rank, total and rounds").is_visible()
    context.close()
