"""A whole day without signal, a phone handed on, and a queue as long as a season's."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Request, expect

from tests.browser.bank_phone import (
    count,
    go,
    go_to_match,
    rest_here,
    signal,
    weigh,
    weigher_with_plan,
)
from tests.browser.reading import cells
from tests.thorough import trials


@pytest.mark.fault("day without signal and a swap of phones")
def test_a_day_without_signal_with_a_restart_and_a_swap_of_phones_ends_right_on_the_board(
    at_match: Callable[..., Page], lasting_world: Any, tmp_path: Path
) -> None:
    from matches.models import Fact
    from matches.writes.bulletins import bulletin_publish

    world = lasting_world
    weigher_with_plan(world)
    morning = at_match("maud")
    rest_here(morning)
    phone = morning.context
    phone.set_offline(True)
    morning.reload()
    expect(morning.get_by_role("heading", name="June Open")).to_be_visible()
    expect(signal(morning)).to_have_attribute("data-signal", "no_signal")
    go(morning, "Log feed")
    throw = morning.locator(".throws").get_by_role("button", name="Caster 0.25 pints · long")
    for n in (1, 2):
        throw.click()
        expect(count(morning, "kept")).to_have_text(str(n))
    expect(morning.locator(".log li")).to_have_count(2)
    expect(morning.locator(".total")).to_have_text("So far: 0.5 pints Caster")
    go(morning, "Back")
    go(morning, "Fish")
    morning.get_by_role("button", name="roach, middling, about 50 g: 0").click()
    expect(count(morning, "kept")).to_have_text("3")
    morning.close()

    evening = phone.new_page()
    evening.goto("/bank/")
    go_to_match(evening)
    expect(count(evening, "kept")).to_have_text("3")
    go(evening, "Log feed")
    expect(evening.locator(".log li")).to_have_count(2)
    go(evening, "Back")
    go(evening, "Weigh in")
    weigh(evening, "1", "4250")
    weigh(evening, "2", "980")
    weigh(evening, "2", "890")
    weigh(evening, "4", "0")
    saved = unsent_saved(evening, tmp_path)

    # The old phone is put away. The new one had signal once, to sign in.
    new = at_match("maud")
    rest_here(new)
    new.context.set_offline(True)
    new.goto("/bank/#/phone")
    new.locator("input[type=file]").set_input_files(saved)
    expect(count(new, "kept")).to_have_text("7")
    new.goto("/bank/")
    go_to_match(new)
    go(new, "Weigh in")
    weigh(new, "5", "1700")
    assert Fact.objects.count() == 0
    new.context.set_offline(False)
    expect(count(new, "sent")).to_have_text("8")
    expect(count(new, "kept")).to_have_text("0")
    stored = list(Fact.objects.order_by("recorded_at").values_list("kind", "author__username"))
    kinds = ["feed_note"] * 2 + ["fish_note"] + ["weigh_in"] * 5
    assert stored == [(kind, "maud") for kind in kinds]

    bulletin_publish(world.secretary, match=world.match)
    new.goto("/bank/")
    go_to_match(new)
    go(new, "Results")
    new.wait_for_url("**/board/otterbeck/june-open/")
    # Section A: 4,250 before 890. B: 1,700, and the blank has what is left of places 2 to 2.
    assert [placed(new, n) for n in (1, 2)] == [
        [("1", "Maud Ferris"), ("2", "Perrin Stoat")],
        [("1", "Odette Marl"), ("2", "Wilmot Crane")],
    ]
    # Alders 1 + 2, Teals 2 + 1: level, and 4,250 is more than 890 + 1,700.
    teams = cells(new, "section[aria-labelledby=teams] tbody tr")
    assert [[row[0], row[1].split("\n")[0], *row[2:]] for row in teams] == [
        ["1", "Otterbeck Alders", "3", "4.250 kg"],
        ["2", "Otterbeck Teals", "3", "2.590 kg"],
    ]
    # What the old phone still sends on another day is there already.
    phone.set_offline(False)
    expect(count(evening, "sent")).to_have_text("7")
    assert Fact.objects.count() == 8


def unsent_saved(page: Page, folder: Path) -> Path:
    page.goto("/bank/#/phone")
    with page.expect_download() as download:
        page.get_by_role("button", name="Save the unsent to a file").click()
    saved = folder / "unsent.json"
    download.value.save_as(saved)
    return saved


def placed(page: Page, section: int) -> list[tuple[str, str]]:
    rows = cells(page, f"section[aria-labelledby=section-{section}] tbody tr")
    return [(row[0], row[1].split("\n")[0]) for row in rows]


BACKLOG = trials(1_500, in_full=10_000)
FILL = """([person, match, many]) => new Promise((filled) => {
  indexedDB.open("drawbag-bank").onsuccess = (opened) => {
    const db = opened.target.result;
    const device = crypto.randomUUID();
    const all = db.transaction(["facts", "meta"], "readwrite");
    for (let seq = 1; seq <= many; seq++) {
      const id = crypto.randomUUID();
      const fact = {
        id, device, seq, kind: "peg_note", match, peg: "1", clock_offset_ms: 0, supersedes: null,
        recorded_at: "2026-06-20T13:05:11.250Z", body: { note: `note ${seq}` },
      };
      all.objectStore("facts").add({ id, person, match, state: "kept", fact, kept_at: seq });
    }
    all.objectStore("meta").put({ key: `device:${person}`, device, seq: many });
    all.oncomplete = () => { db.close(); filled(); };
  };
})"""


@pytest.mark.slow
@pytest.mark.fault("backlog of ten thousand")
def test_thousands_of_facts_go_out_in_bounded_batches(
    at_match: Callable[..., Page], lasting_world: Any
) -> None:
    from matches.models import Fact

    world = lasting_world
    page = at_match("tamsin")
    rest_here(page)
    # Packed, a body cannot be read here; the bounds are those of the body unpacked.
    page.add_init_script("delete globalThis.CompressionStream")
    page.goto("/bank/")
    page.context.set_offline(True)
    page.evaluate(FILL, [str(world.weigher.pk), str(world.match.pk), BACKLOG])
    sizes: list[tuple[int, int]] = []

    def note(request: Request) -> None:
        if request.url.endswith("/sync/facts") and request.method == "POST":
            body = request.post_data_buffer or b""
            sizes.append((len(json.loads(body)["facts"]), len(body)))

    page.context.on("request", note)
    page.context.set_offline(False)
    expect(count(page, "sent")).to_have_text(str(BACKLOG), timeout=120_000)
    assert all(facts <= 500 and size <= 256 * 1024 for facts, size in sizes)
    assert Fact.objects.count() == BACKLOG
