"""A phone of browser tests with the bank app: what it is given, how it is tapped, what it has."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

from django.utils import timezone
from playwright.sync_api import Page, expect

PUSH = "**/api/v1/sync/facts"


def open_match(page: Page) -> None:
    """The bank, signed in, with the match and the worker on the phone."""
    page.goto("/bank/")
    worker_await(page)
    go_to_match(page)
    expect(signal(page)).to_have_attribute("data-signal", "ok")


def worker_await(page: Page) -> None:
    """Until the app's worker stands. An engine would wait for ever for one that did not install."""
    page.evaluate(
        """Promise.race([
          navigator.serviceWorker.ready.then(() => true),
          new Promise((_, fail) => setTimeout(() => fail(new Error("no worker installs")), 60_000)),
        ])"""
    )


def rest_here(page: Page) -> None:
    """Wait until what comes after the first load is on the phone too."""
    assert page.evaluate(
        """async () => {
          const { active } = await navigator.serviceWorker.ready;
          return new Promise((resolve) => {
            const { port1, port2 } = new MessageChannel();
            setTimeout(resolve, 60_000, false);
            port1.onmessage = (event) => resolve(event.data);
            active.postMessage("later", [port2]);
          });
        }"""
    )


def go_to_match(page: Page) -> None:
    page.get_by_role("link", name="June Open").click()
    expect(page.get_by_role("heading", name="June Open")).to_be_visible()


def signal(page: Page) -> Any:
    return page.locator("[data-signal]")


def count(page: Page, what: str) -> Any:
    return page.locator(f"[data-count={what}] b")


def throw_often(page: Page, many: int) -> None:
    """Tap the first throw so often in one go, and wait until the phone's disk holds them all."""
    page.evaluate(
        """(many) => new Promise((kept) => {
          for (let i = 0; i < many; i++) document.querySelector(".throw").click();
          indexedDB.open("drawbag-bank").onsuccess = ({ target: { result: db } }) => {
            const see = () => {
              const asked = db.transaction("facts").objectStore("facts").count();
              asked.onsuccess = () => {
                if (asked.result < many) return setTimeout(see, 50);
                db.close();
                kept();
              };
            };
            see();
          };
        })""",
        many,
    )


def go(page: Page, name: str) -> None:
    page.get_by_role("link", name=name, exact=True).click()


PRESS = """(keys, digits) => [...digits].forEach((digit) =>
  keys.find((key) => key.textContent.trim() === digit).click())"""


def weigh(page: Page, peg: str, digits: str) -> None:
    """From the list of pegs, through the keypad, back to the list.

    All digits but the first are pressed in one go: a test of the keypad itself taps each.
    """
    page.locator(f".pegs a[href$='/weigh/{peg}']").click()
    page.get_by_role("button", name=digits[0], exact=True).click()
    page.locator(".key").evaluate_all(PRESS, digits[1:])
    page.get_by_role("button", name=re.compile("^Keep")).click()
    expect(page.locator(".lately")).to_contain_text("kept")
    # The words may be those of the weight before; the way back is this one's.
    expect(page).to_have_url(re.compile(r"/weigh$"))


def weight_refused(page: Page, match: Any) -> None:
    """In the open match, a weight logged without signal, which the server refuses when it is sent:
    the match is weighed in another unit by then."""
    page.context.set_offline(True)
    go(page, "Weigh in")
    weigh(page, "1", "4250")
    match.weight_unit = "dr"
    match.save()
    page.context.set_offline(False)
    expect(count(page, "refused")).to_have_text("1")


def weights_on_server() -> dict[str, list[int]]:
    from matches.models import WeighIn

    found: dict[str, list[int]] = {}
    for row in WeighIn.objects.select_related("section_peg__peg").order_by("weight"):
        found.setdefault(row.section_peg.peg.number, []).append(row.weight)
    return found


def weigher_with_plan(world: Any) -> None:
    """Maud has a plan, and weighs."""
    plan_for(world, "Maud")
    world.club.memberships.create(person=world.captain, role="weigher", match=world.match)


def plan_for(world: Any, first: str) -> None:
    from bait import models as b

    plan = b.Plan.objects.create(entry=world.entries[first])
    stage = b.Stage.objects.create(
        plan=plan, position=1, kind="feed", line="long", end_minute=60, every_seconds=300
    )
    b.StageFeed.objects.create(stage=stage, bait=world.baits["caster"], amount="0.25", unit="pint")


def begun(world: Any, *, minutes: int) -> None:
    """The match started so many minutes ago and goes on for five hours."""
    world.match.start_at = timezone.now() - dt.timedelta(minutes=minutes)
    world.match.end_at = world.match.start_at + dt.timedelta(hours=5)
    world.match.save()


def plan_of_two_lines(world: Any, first: str) -> None:
    """Caster on the long line every ten minutes from the start, by the pouch on the short one."""
    from bait import models as b

    plan = b.Plan.objects.create(entry=world.entries[first], spare_percent=0)
    for n, (kind, line, start, end, every, amount, unit) in enumerate(
        [
            ("feed", "long", 0, 60, 600, "0.25", "pint"),
            ("switch", "short", 120, 300, 300, "1", "pouch"),
        ],
        1,
    ):
        stage = b.Stage.objects.create(
            plan=plan,
            position=n,
            kind=kind,
            line=line,
            start_minute=start,
            end_minute=end,
            every_seconds=every,
        )
        b.StageFeed.objects.create(
            stage=stage, bait=world.baits["caster"], amount=amount, unit=unit
        )


def outcomes_on_phone(page: Page) -> list[str | None]:
    """The outcome of each own fact, by number, read from the phone's disk."""
    found: list[str | None] = page.evaluate(
        """() => new Promise((resolve) => {
          indexedDB.open("drawbag-bank").onsuccess = (opened) => {
            const db = opened.target.result;
            db.transaction("facts").objectStore("facts").getAll().onsuccess = (got) => {
              db.close();
              const rows = got.target.result.sort((a, b) => a.fact.seq - b.fact.seq);
              resolve(rows.map((row) => row.outcome ?? null));
            };
          };
        })"""
    )
    return found
