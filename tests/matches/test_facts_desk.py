"""Facts logged at the desk, and what the secretary reads of facts."""

from __future__ import annotations

from typing import Any

import pytest

from matches.models import AuditEntry, Device, Disagreement, Fact, Match, MatchState, WeighIn
from matches.problems import Code, Problem
from matches.reads.facts import disagreements_open
from matches.reads.phones import facts_to_come
from matches.writes.facts import fact_log_at_desk
from matches.writes.facts.canonical import fact_digest
from matches.writes.facts.shape import FactReading, fact_read
from tests.matches.handed_in import PHONE, from_phone, handed_in


def weigh(person: Any, world: Any, **given: Any) -> Any:
    made = {
        "match": world.match,
        "kind": "weigh_in",
        "peg": "1",
        "body": {"net": 1, "weight": 4250, "unit": "g"},
    }
    return fact_log_at_desk(person, **(made | given))


def test_a_desk_logs_like_a_phone_and_counts_its_own_facts(world: Any) -> None:
    first = weigh(world.secretary, world)
    second = weigh(
        world.secretary,
        world,
        supersedes=first.pk,
        body={"net": 1, "weight": 4300, "unit": "g", "witness": "Perrin Stoat"},
    )
    assert (first.seq, second.seq) == (1, 2)
    assert (first.cseq, second.cseq) == (1, 2)
    assert (first.id.version, second.supersedes) == (7, first.pk)
    assert first.device == second.device == Device.objects.get(person=world.secretary).pk
    assert list(WeighIn.objects.values_list("weight", "stands")) == [(4300, True)]


@pytest.mark.parametrize(
    ("given", "code", "pointer"),
    [
        ({"body": {"net": 1, "weight": -1, "unit": "g"}}, Code.BAD_INPUT, "/body/weight"),
        ({"peg": ""}, Code.BAD_INPUT, "/peg"),
        ({"kind": "feed_note"}, Code.BAD_INPUT, "/kind"),
        ({"kind": "no_such"}, Code.BAD_INPUT, "/kind"),
    ],
)
def test_what_a_desk_gets_wrong_is_said_and_nothing_is_stored(
    world: Any, given: Any, code: Code, pointer: str
) -> None:
    with pytest.raises(Problem) as caught:
        weigh(world.secretary, world, **given)
    assert caught.value.code is code
    assert [f.pointer for f in caught.value.faults] == [pointer]
    assert not Fact.objects.exists()


def test_a_member_gives_no_signal_at_the_desk(world: Any) -> None:
    with pytest.raises(Problem) as caught:
        weigh(world.member, world, kind="signal", peg="", body={"signal": "end"})
    assert caught.value.code is Code.NOT_ALLOWED


def test_an_outsider_finds_no_match_at_the_desk(world: Any) -> None:
    with pytest.raises(Problem) as caught:
        weigh(world.outsider, world)
    assert caught.value.code is Code.NOT_FOUND


def test_a_ruling_at_the_desk_settles_and_leaves_a_trail(world: Any) -> None:
    handed_in(world.weigher, from_phone(world, 100))
    handed_in(world.rival, from_phone(world, 200))
    (open_one,) = disagreements_open(world.secretary, match_id=world.match.pk)
    assert [(s.weight, s.author, s.device, s.stands) for s in open_one.sides] == [
        (1100, "Tamsin Rook", PHONE, True),
        (1200, "Odette Marl", PHONE, False),
    ]
    body = {"disagreement": open_one.row.pk, "stands": str(open_one.sides[1].fact.pk)}
    weigh(world.secretary, world, kind="ruling", body=body)
    assert disagreements_open(world.secretary, match_id=world.match.pk) == []
    assert WeighIn.objects.get(stands=True).weight == 1200
    assert AuditEntry.objects.get(verb="disagreement_rule").person == world.secretary


def test_what_stood_before_a_late_fact_is_one_of_the_sides(world: Any) -> None:
    handed_in(world.weigher, from_phone(world, 100))
    Match.objects.update(state=MatchState.CONFIRMED)
    late = from_phone(world, 200)
    assert handed_in(world.weigher, late) == ["disagrees"]
    (open_one,) = disagreements_open(world.secretary, match_id=world.match.pk)
    assert [(s.weight, s.stands) for s in open_one.sides] == [(1100, True), (1200, False)]
    # A late weight that supersedes nothing, ruled in: what stood before is settled against.
    body = {"disagreement": open_one.row.pk, "stands": late["id"]}
    weigh(world.secretary, world, kind="ruling", body=body)
    assert list(WeighIn.objects.filter(stands=True).values_list("weight", flat=True)) == [1200]
    assert not Disagreement.objects.filter(ruling__isnull=True).exists()


def test_notes_after_confirmation_are_accepted_without_bothering_anybody(world: Any) -> None:
    Match.objects.update(state=MatchState.CONFIRMED)
    note = from_phone(world, 1, kind="peg_note", body={"note": "deep"})
    scratch = from_phone(world, 2, kind="scratch", supersedes=note["id"], body={"why": "not so"})
    assert handed_in(world.member, note, scratch) == ["accepted", "accepted"]
    assert not Disagreement.objects.exists()


def test_a_hole_in_a_phones_numbers_says_how_many_are_still_to_come(world: Any) -> None:
    Device.objects.create(pk=PHONE, person=world.weigher, label="Tamsin's phone")
    handed_in(world.weigher, from_phone(world, 1), from_phone(world, 4, peg="2"))
    (phone,) = facts_to_come(world.secretary, match_id=world.match.pk)
    assert (phone.missing, phone.label, phone.person) == (2, "Tamsin's phone", "Tamsin Rook")
    handed_in(world.weigher, from_phone(world, 3, peg="4"), from_phone(world, 2, peg="5"))
    assert not facts_to_come(world.secretary, match_id=world.match.pk)


def test_a_phone_without_a_name_is_called_after_its_person(world: Any) -> None:
    handed_in(world.weigher, from_phone(world, 1))
    weigh(world.secretary, world)
    (row,) = disagreements_open(world.secretary, match_id=world.match.pk)
    assert [side.device_label for side in row.sides] == ["Tamsin Rook’s phone", "Desk"]


@pytest.mark.parametrize("read", [facts_to_come, disagreements_open])
def test_another_club_reads_nothing_of_it(world: Any, read: Any) -> None:
    with pytest.raises(Problem) as caught:
        read(world.outsider, match_id=world.match.pk)
    assert caught.value.code is Code.NOT_FOUND


@pytest.mark.django_db
def test_settling_reads_as_many_queries_for_one_as_for_many(
    world: Any, django_assert_num_queries: Any
) -> None:
    seq = 0
    for peg in ("1", "2", "4", "5"):
        for person in (world.weigher, world.rival):
            seq += 1
            handed_in(person, from_phone(world, seq, peg=peg))
        with django_assert_num_queries(6):
            disagreements_open(world.secretary, match_id=world.match.pk)


def test_the_digest_is_of_the_facts_own_fields_and_nothing_else() -> None:
    """The digest written out by hand: keys sorted, no spaces, UTF-8, then SHA-256."""
    raw = {
        "id": "01890A5D-AC96-774B-BCCE-B302099A8057",
        "device": "01890a5d-ac96-774b-bcce-b302099a8058",
        "seq": 41,
        "kind": "peg_note",
        "match": 7,
        "recorded_at": "2026-05-02T15:05:11.250+01:00",
        "body": {"note": "flöw"},
        "cseq": 12,
        "author": {"id": "1", "name": "Idris Pell"},
    }
    reading = FactReading()
    fact = fact_read(raw, reading=reading)
    assert reading.faults == []
    import hashlib

    by_hand = (
        '{"body":{"note":"flöw"},"clock_offset_ms":0,'
        '"device":"01890a5d-ac96-774b-bcce-b302099a8058",'
        '"id":"01890a5d-ac96-774b-bcce-b302099a8057","kind":"peg_note","match":"7","peg":"",'
        '"recorded_at":"2026-05-02T14:05:11.250Z","seq":41,"supersedes":null}'
    )
    assert fact_digest(fact.as_json()) == hashlib.sha256(by_hand.encode()).hexdigest()
