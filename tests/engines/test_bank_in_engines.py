"""What the bank app promises, in every engine: nothing lost or doubled, the truth in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.browser.bank_phone import weigher_with_plan, weights_on_server
from tests.engines.others import of_the_others
from tests.engines.phone import Phone
from tests.engines.wire import Wire

PhoneOf = Callable[..., Phone]
# A full disk, as the engine tells it. In Chromium tests/browser spends a quota for real.
DISK_FULL = """() => { IDBObjectStore.prototype.add = () => {
  throw new DOMException("The disk is full.", "QuotaExceededError"); }; }"""
# What the server said of each own fact, by number, read from the phone's disk.
OUTCOMES = """const [done] = arguments;
indexedDB.open("drawbag-bank").onsuccess = (opened) => {
  const db = opened.target.result;
  db.transaction("facts").objectStore("facts").getAll().onsuccess = (got) => {
    db.close();
    done(got.target.result.sort((a, b) => a.fact.seq - b.fact.seq).map((row) => row.outcome));
  };
};"""


@pytest.mark.fault("started while the server is dead")
@pytest.mark.fault("browser killed after kept")
def test_after_one_visit_the_app_starts_with_the_server_dead_and_what_was_kept_goes_out_once(
    phone: PhoneOf, wire: Wire, lasting_world: Any
) -> None:
    from matches.models import Fact, FactKind

    weigher_with_plan(lasting_world)
    it = phone("maud")
    it.open_match()
    wire.cut()
    it.press("Weigh in")
    it.weigh("1", "4250")
    it.signal("no_signal")
    it.press("Back")
    it.press("Log feed")
    it.reads("Left in my bag")  # it comes after the rest, and moves it
    it.tap(".throw")
    it.count("kept", 2)
    it.kill()
    it.start()
    it.open("/bank/")
    it.signal("no_signal")
    it.reads("no answer", "[data-signal]")
    it.count("kept", 2)
    it.tap("a.card")
    it.reads("June Open", "h1")
    it.press("Weigh in")
    it.reads("Maud Ferris", ".pegs")
    assert it.faults() == []
    assert Fact.objects.count() == 0
    wire.mend()
    it.signed_out()  # the kill may have taken the session's cookie with it, or not
    it.sign_in("maud")
    it.open("/bank/")
    it.count("sent", 2)
    it.count("kept", 0)
    assert weights_on_server() == {"1": [4250]}
    assert sorted(Fact.objects.values_list("seq", "kind", "author__username")) == [
        (1, FactKind.WEIGH_IN, "maud"),
        (2, FactKind.FEED_NOTE, "maud"),
    ]
    assert it.faults() == []


@of_the_others
def test_a_fact_goes_out_by_itself_while_nobody_answers_what_the_browser_asks(
    phone: PhoneOf,
) -> None:
    """One engine asks the person whether storage may stay, and says no more until told."""
    it = phone("tamsin")
    it.open_match()
    it.press("Weigh in")
    it.weigh("1", "4250")
    it.count("sent", 1)
    it.weigh("2", "980")
    it.count("sent", 2)
    assert weights_on_server() == {"1": [4250], "2": [980]}


@of_the_others
@pytest.mark.fault("session expired")
def test_a_session_that_ended_keeps_everything_which_goes_out_after_signing_in(
    phone: PhoneOf,
) -> None:
    it = phone("tamsin")
    it.open_match()
    it.signed_out()
    it.press("Weigh in")
    it.weigh("1", "4250")
    it.signal("sign_in")
    it.reads("Sign in to send what is kept here. Nothing is lost meanwhile.")
    it.count("kept", 1)
    assert weights_on_server() == {}
    it.press("Sign in")
    it.sign_in_here("tamsin")
    it.count("sent", 1)
    it.count("kept", 0)
    assert weights_on_server() == {"1": [4250]}
    assert it.faults() == []


@of_the_others
@pytest.mark.fault("two tabs")
@pytest.mark.parametrize("without", [None, "locks"])
def test_two_tabs_are_one_sender_and_each_fact_goes_once(
    phone: PhoneOf, wire: Wire, lasting_world: Any, without: str | None
) -> None:
    from matches.models import Fact

    weigher_with_plan(lasting_world)
    it = phone("maud", without=without)
    it.open_match()
    assert it.run("return Boolean(navigator.locks)") is (without is None)
    one, other = it.tabs()
    feed = f"/bank/#/match/{lasting_world.match.pk}/feed"
    for tab in (one, other):
        it.tab(tab)
        it.open(feed)
        it.signal("ok")
        it.reads("Left in my bag")  # it comes after the rest, and moves it
    wire.cut()
    for kept, tab in enumerate((one, other, one, other), 1):
        it.tab(tab)
        it.tap(".throw")
        it.count("kept", kept)
    wire.mend()
    for tab in (one, other):
        it.tab(tab)
        it.run("dispatchEvent(new Event('online'))")
    for tab in (one, other):
        it.tab(tab)
        it.count("sent", 4)
        assert it.faults() == []
    assert sorted(Fact.objects.values_list("seq", flat=True)) == [1, 2, 3, 4]
    # Sent by both it would be a duplicate by now.
    outcomes = it.line.ask("ExecuteAsyncScript", {"script": OUTCOMES, "args": []})
    assert outcomes == ["accepted"] * 4


@of_the_others
@pytest.mark.parametrize("without", ["indexedDB", "leave to store"])
def test_a_window_that_may_store_nothing_says_so_and_calls_nothing_kept(
    phone: PhoneOf, lasting_world: Any, without: str
) -> None:
    it = phone("tamsin", without=without)
    for address in ("/bank/", f"/bank/#/match/{lasting_world.match.pk}/weigh/1"):
        it.open(address)
        it.reload()
        it.reads("This window may keep nothing")
        it.reads("Open the app in an ordinary window of this browser")
        it.count("kept", 0)
        assert "still on the disk" not in it.text()
        assert "as soon as there is signal" not in it.text()
        assert it.faults() == []


@of_the_others
@pytest.mark.fault("disk quota spent")
def test_a_full_disk_keeps_what_was_typed_and_calls_nothing_kept(phone: PhoneOf) -> None:
    it = phone("tamsin")
    it.open_match()
    it.press("Weigh in")
    it.tap("a[href$='/weigh/1']")
    it.reads("Type the weight")
    it.run(f"({DISK_FULL})()")
    for digit in "4250":
        it.press(digit)
    it.tap("button.keep")
    it.reads("Not kept.", ".failed")
    it.reads("4.250 kg", ".figure")
    assert it.text(".lately").strip() == ""
    it.count("kept", 0)
    assert weights_on_server() == {}


@pytest.mark.fault("private window")
def test_a_private_window_works_while_it_is_open_and_says_that_it_forgets(
    phone: PhoneOf, wire: Wire
) -> None:
    it = phone("tamsin", private=True)
    it.open("/bank/")
    it.reads("A private window forgets all of it when it is closed.")
    it.open_match()
    wire.cut()
    it.press("Weigh in")
    it.weigh("1", "4250")
    it.count("kept", 1)
    it.open("/bank/#/phone")
    it.reads("1 fact kept here, not sent yet")
    assert "has promised" not in it.text()
    wire.mend()
    it.press("Send now")
    it.count("sent", 1)
    assert weights_on_server() == {"1": [4250]}
    assert it.faults() == []


@of_the_others
@pytest.mark.parametrize("without", [None, "helpers"])
def test_what_an_engine_lacks_is_told_in_words_and_breaks_nothing(
    phone: PhoneOf, lasting_world: Any, without: str | None
) -> None:
    weigher_with_plan(lasting_world)
    it = phone("maud", without=without)
    it.open_match()
    it.press("Weigh in")
    it.weigh("1", "4250")
    it.count("sent", 1)
    it.open("/bank/#/phone")
    it.reads("this app's storage")
    text = it.text()
    for name, said in {
        "wakeLock": "cannot keep the screen on while you weigh",
        "vibrate": "does not buzz",
        "storage": "does not say whether it may empty",
    }.items():
        assert (said in text) is not it.run("return arguments[0] in navigator", name), name
    assert it.faults() == []


@of_the_others
def test_without_a_worker_the_app_says_that_it_cannot_open_without_signal(phone: PhoneOf) -> None:
    it = phone("tamsin", without="worker")
    it.open("/bank/")
    it.reads("Here the app cannot open without signal: keep this page open")
    it.reads("June Open")
    assert it.faults() == []
