"""A fact that is here already is told as a duplicate, whatever is asked of new ones by now."""

from __future__ import annotations

from typing import Any

import pytest

from matches.models import Fact, Membership, RefusedFact, Role
from tests.signing_phone import SigningPhone
from tests.web.pushing import fact, push, words

OF_BEFORE = {"kind": "peg_note", "body": {"depth_cm": 180, "note": "weed\x1b[2J"}}


@pytest.fixture
def lax(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    """A server of before, which took any character; undone, it is today's."""
    monkeypatch.setattr("matches.writes.facts.shape.is_storable", lambda text: True)
    return monkeypatch


def test_what_was_stored_under_laxer_rules_and_is_sent_again_is_a_duplicate(
    world: Any, lax: pytest.MonkeyPatch
) -> None:
    note = fact(world, 1, **OF_BEFORE)
    assert words(push(world.member, note)) == ["accepted"]
    lax.undo()
    assert words(push(world.member, note, fact(world, 2, **OF_BEFORE))) == ["duplicate", "refused"]
    # Another's, or with other words, it is not what is here.
    assert words(push(world.captain, note)) == ["refused"]
    assert words(push(world.member, note | {"seq": 3})) == ["refused"]
    assert Fact.objects.count() == 1
    assert set(RefusedFact.objects.values_list("seq", flat=True)) == {1, 2, 3}


def test_what_a_mate_carried_under_laxer_rules_is_a_duplicate_too(
    world: Any, lax: pytest.MonkeyPatch
) -> None:
    phone = SigningPhone(world.member, world.match)
    phone.join()
    note = phone.signed(phone.fact(**OF_BEFORE))
    assert words(push(world.rival, note)) == ["accepted"]
    lax.undo()
    assert words(push(world.captain, note)) == ["duplicate"]


def test_a_signal_is_a_duplicate_though_its_weigher_is_one_no_more(world: Any) -> None:
    signal = fact(world, 1, kind="signal", peg="", body={"signal": "start"})
    assert words(push(world.weigher, signal)) == ["accepted"]
    Membership.objects.filter(person=world.weigher, role=Role.WEIGHER).delete()
    assert words(push(world.weigher, signal)) == ["duplicate"]
