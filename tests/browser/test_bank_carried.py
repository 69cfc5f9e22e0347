"""Two phones, one without signal: what it hands over by a file is sent by the other as its own."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect

from .bank_phone import count, go, open_match, plan_for, signal, weigh
from .conftest import FaultsSeen


def joined(page: Page) -> None:
    """The match on the phone, and the phone known to the club."""
    open_match(page)
    page.evaluate("location.hash = '#/phone'")
    expect(page.get_by_text("This phone can hand")).to_be_visible()
    page.evaluate("history.back()")
    expect(page.get_by_role("heading", name="June Open")).to_be_visible()


def day_logged(page: Page) -> None:
    """A weigh-in and two notes, without signal."""
    page.context.set_offline(True)
    go(page, "Weigh in")
    weigh(page, "1", "4250")
    go(page, "Back")
    go(page, "Log feed")
    throw = page.get_by_role("button", name="Caster 0.25 pints · long", exact=True)
    throw.click()
    expect(count(page, "kept")).to_have_text("2")
    throw.click()
    expect(count(page, "kept")).to_have_text("3")


def file_saved(page: Page, folder: Path) -> Path:
    page.evaluate("location.hash = '#/phone'")
    with page.expect_download() as saving:
        page.get_by_role("button", name="Save").first.click()
    path = folder / saving.value.suggested_filename
    saving.value.save_as(path)
    return path


def file_read(page: Page, path: Path) -> None:
    page.evaluate("location.hash = '#/phone'")
    page.locator("input[type=file]").set_input_files(path)


def facts_stored() -> list[tuple[str, str, str | None]]:
    """Kind, author and who carried it."""
    from matches.models import Fact

    rows = Fact.objects.order_by("seq").values_list(
        "kind", "author__username", "carried_by__username"
    )
    return list(rows)


def test_what_a_phone_without_signal_hands_over_reaches_the_server_as_its_own(
    signed_in: Callable[..., Page],
    lasting_world: Any,
    faults_seen: FaultsSeen,
    tmp_path: Path,
) -> None:
    plan_for(lasting_world, "Maud")
    lasting_world.club.memberships.create(
        person=lasting_world.captain, role="weigher", match=lasting_world.match
    )
    mauds, odettes = signed_in("maud", desk=False), signed_in("odette", desk=False)
    joined(mauds)
    joined(odettes)
    day_logged(mauds)
    saved = file_saved(mauds, tmp_path)

    # The mate has no signal yet either.
    odettes.context.set_offline(True)
    file_read(odettes, saved)
    carried = odettes.locator("[data-list=carried]")
    expect(carried).to_contain_text("carrying 3 for Maud Ferris")
    expect(odettes.get_by_text("3 facts taken in to carry.")).to_be_visible()
    expect(count(odettes, "kept")).to_have_text("0")
    own = odettes.locator("[data-list=kept]")
    expect(own).to_contain_text("All of yours is sent. What you carry for others is not yet.")
    odettes.get_by_role("button", name="Sign out").click()
    expect(odettes.get_by_text("3 facts carried for others are not sent yet.")).to_be_visible()
    assert faults_seen(odettes, "carried") == []
    odettes.get_by_role("button", name="Stay signed in").click()
    file_read(odettes, saved)
    expect(odettes.get_by_text("3 known here already.")).to_be_visible()
    odettes.reload()
    expect(carried).to_contain_text("carrying 3 for Maud Ferris")
    assert facts_stored() == []

    odettes.context.set_offline(False)
    expect(carried).to_contain_text("Nothing to carry for others")
    expect(own).to_contain_text("Everything is sent.")
    taken = [("weigh_in", "maud", "odette"), *[("feed_note", "maud", "odette")] * 2]
    assert facts_stored() == taken
    expect(count(odettes, "sent")).to_have_text("0")

    desk = signed_in("idris", desk=False)
    desk.goto(f"/desk/matches/{lasting_world.match.pk}/weigh/")
    expect(desk.get_by_text("Maud Ferris’s, carried by Odette Marl")).to_be_visible()
    assert faults_seen(desk, "carried-board") == []

    mauds.context.set_offline(False)
    expect(count(mauds, "kept")).to_have_text("0")
    expect(count(mauds, "sent")).to_have_text("3")
    expect(signal(mauds)).to_have_attribute("data-signal", "ok")
    assert facts_stored() == taken


def test_what_was_refused_of_a_mates_facts_says_whom_to_tell_and_a_changed_file_why_not(
    signed_in: Callable[..., Page], lasting_world: Any, tmp_path: Path
) -> None:
    page = signed_in("odette", desk=False)
    joined(page)
    page.evaluate(CARRIED_REFUSED)
    page.goto("/bank/#/phone")
    carried = page.locator("[data-list=carried]")
    expect(carried.get_by_role("heading", name="1 carried fact refused")).to_be_visible()
    expect(carried).to_contain_text("still have them: tell their people.")
    expect(carried).to_contain_text("1 of Maud Ferris")
    carried.get_by_role("button", name="Put aside").click()
    expect(carried).not_to_contain_text("refused")
    changed = tmp_path / "changed.drawbag"
    changed.write_bytes(b"\x00" + b'{"format": "drawbag-carried", "version": 1, "match": "1"')
    file_read(page, changed)
    expect(page.get_by_role("status").first).to_contain_text("or it is damaged")
    expect(carried).to_contain_text("Nothing to carry for others")


CARRIED_REFUSED = """() => new Promise((done) => {
  indexedDB.open("drawbag-bank").onsuccess = (opened) => {
    const db = opened.target.result;
    const all = db.transaction("facts", "readwrite");
    const id = crypto.randomUUID();
    const fact = { id, device: id, seq: 1, kind: "peg_note", match: "1", peg: "1", body: {} };
    all.objectStore("facts").add({ id, person: "carried", match: "1", state: "refused", fact,
      kept_at: 1, carried: { name: "Maud Ferris" }, problem: { detail: "No such peg." } });
    all.oncomplete = () => { db.close(); done(); };
  };
})"""


def test_a_phone_taken_off_the_list_says_so_and_can_be_let_hand_over_again(
    signed_in: Callable[..., Page], lasting_world: Any, faults_seen: FaultsSeen
) -> None:
    page = signed_in("odette", desk=False)
    joined(page)
    page.goto("/desk/")
    page.get_by_role("link", name="My phones").click()
    expect(page.get_by_role("heading", name="Last seen")).to_be_visible()
    assert faults_seen(page, "phones", pressed="main button, main a.button") == []
    page.get_by_role("button", name="Take off the list").click()
    expect(page.get_by_role("main")).to_contain_text("Off the list since")

    page.goto("/bank/#/phone")
    expect(page.get_by_text("taken off your list at the desk")).to_be_visible()
    assert faults_seen(page, "off-the-list") == []
    page.get_by_role("button", name="Let it hand over again").click()
    expect(page.get_by_text("This phone can hand")).to_be_visible()
