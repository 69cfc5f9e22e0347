"""The file of what is unsent, in every engine: saved, read back, and handed to a mate's phone."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from tests.browser.bank_phone import weights_on_server
from tests.engines.phone import Phone
from tests.engines.processes import wait_for
from tests.engines.wire import Wire

PhoneOf = Callable[..., Phone]
MAY_HAND = "This phone can hand what is kept here to a mate's phone."


def weighed_without_signal(it: Phone, wire: Wire) -> Path:
    """One weigh-in kept on the phone, and the file that its person saved of it."""
    it.open_match()
    it.open("/bank/#/phone")
    it.reads(MAY_HAND)
    wire.cut()
    it.open("/bank/")
    it.tap("a.card")
    it.press("Weigh in")
    it.weigh("1", "4250")
    it.open("/bank/#/phone")
    it.reads("1 fact kept here, not sent yet")
    it.press("Save the unsent to a file")
    downloads = it.processes.folder / "downloads"
    saved = wait_for(lambda: next(downloads.glob("unsent-*.json"), None), "the saved file")
    wait_for(lambda: "4250" in saved.read_text(), "the whole of the saved file")
    return saved


def test_the_file_of_the_unsent_goes_out_by_a_mates_phone_as_its_writers_and_is_read_back_by_theirs(
    phone: PhoneOf, wire: Wire
) -> None:
    from matches.models import Fact

    old = phone("tamsin")
    saved = weighed_without_signal(old, wire)
    old.kill()
    wire.mend()
    mate = phone("idris")
    mate.open_match()
    mate.open("/bank/#/phone")
    mate.reads(MAY_HAND)
    mate.give_file("input[type=file]", saved)
    mate.reads("1 fact taken in to carry.")
    wait_for(weights_on_server, "the weigh-in")
    assert mate.faults() == []
    mate.kill()
    new = phone("tamsin")
    new.open("/bank/#/phone")
    new.reads("Signed in as Tamsin Rook")
    new.give_file("input[type=file]", saved)
    new.count("sent", 1)
    assert new.faults() == []
    assert list(Fact.objects.values_list("kind", "author__username")) == [("weigh_in", "tamsin")]
    assert weights_on_server() == {"1": [4250]}
