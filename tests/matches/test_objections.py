"""The time to object: it runs from a provisional bulletin, and what is objected to is answered."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from matches.models import AuditEntry, Objection
from matches.problems import Code, Problem
from matches.reckon.canonical import canonical_digest
from matches.writes.bulletins import objections_until
from matches.writes.objections import objection_answer, objection_note
from tests.fished import publish, weigh_all

pytestmark = pytest.mark.django_db

ROLES = [
    ("weigher", Code.NOT_ALLOWED),
    ("captain", Code.NOT_ALLOWED),
    ("member", Code.NOT_ALLOWED),
    ("rival", Code.NOT_ALLOWED),
    ("outsider", Code.NOT_FOUND),
]


@pytest.fixture(autouse=True)
def half_an_hour(world: Any) -> None:
    """Everybody is weighed, and the match gives thirty minutes."""
    world.match.objection_min = 30
    world.match.save()
    weigh_all(world, {peg: 1000 * int(peg) for peg in "1245"})


def later(monkeypatch: pytest.MonkeyPatch, minutes: int) -> None:
    now = timezone.now() + dt.timedelta(minutes=minutes)
    monkeypatch.setattr("matches.writes.bulletins.timezone.now", lambda: now)


def test_a_provisional_bulletin_says_until_when_and_the_digest_covers_it(world: Any) -> None:
    made = publish(world)
    assert made.objections_until is not None
    over = made.objections_until - made.published_at
    assert dt.timedelta(minutes=29, seconds=55) < over <= dt.timedelta(minutes=31)
    assert made.body["objections_until"] == made.objections_until.isoformat()
    assert canonical_digest({**made.body, "objections_until": None}) != made.digest


def test_the_time_is_at_least_the_matchs_minutes_and_ends_on_a_whole_one(world: Any) -> None:
    at = dt.datetime(2026, 6, 20, 14, 12, tzinfo=dt.UTC)
    assert objections_until(world.match, now=at) == at + dt.timedelta(minutes=30)
    by_seconds = at + dt.timedelta(seconds=1)
    assert objections_until(world.match, now=by_seconds) == at + dt.timedelta(minutes=31)


def test_a_match_without_such_a_time_gives_none_and_is_confirmed_at_once(world: Any) -> None:
    world.match.objection_min = 0
    world.match.save()
    assert publish(world).objections_until is None
    assert publish(world, confirmed=True).confirmed


def test_confirming_before_the_time_is_over_needs_a_reason_everybody_reads(world: Any) -> None:
    publish(world)
    with pytest.raises(Problem, match="can be objected to until") as refused:
        publish(world, confirmed=True)
    assert refused.value.faults[0].pointer == "/reason"
    made = publish(world, confirmed=True, reason="Everybody agreed at the scales.")
    assert (made.confirmed, made.reason) == (True, "Everybody agreed at the scales.")
    assert made.objections_until is None


def test_confirming_without_a_provisional_bulletin_needs_a_reason_too(world: Any) -> None:
    with pytest.raises(Problem, match="Nobody could object yet"):
        publish(world, confirmed=True)
    assert publish(world, confirmed=True, reason="Everybody agreed at the scales.").number == 1


def test_once_the_time_is_over_it_is_confirmed_without_a_word(
    world: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    publish(world)
    later(monkeypatch, 32)
    assert publish(world, confirmed=True).reason == "Confirmed without a change."


def test_a_second_provisional_bulletin_opens_the_time_anew(
    world: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = publish(world)
    world.match.name = "June Open at the Meadow"
    world.match.save()
    later(monkeypatch, 32)
    second = publish(world, reason="The name was short.")
    assert second.objections_until > first.objections_until


def test_an_objection_not_answered_keeps_the_result_from_being_confirmed(
    world: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    publish(world)
    noted = objection_note(world.secretary, match=world.match, peg="1", words="It was 1.100 kg.")
    later(monkeypatch, 32)
    for reason in ("", "Everybody agreed."):
        with pytest.raises(Problem, match="Answer what was objected to") as refused:
            publish(world, confirmed=True, reason=reason)
        assert refused.value.code is Code.CONFLICT
    objection_answer(
        world.secretary, match=world.match, objection_id=noted.pk, answer="The sheet says 1.000 kg."
    )
    made = publish(world, confirmed=True)
    assert (made.confirmed, made.body["objections"]) == (True, 1)


def test_words_stay_at_the_desk_and_only_the_number_is_published(world: Any) -> None:
    publish(world)
    objection_note(world.secretary, match=world.match, words="Peg 2 fished two rods.")
    world.match.name = "June Open at the Meadow"
    world.match.save()
    body = publish(world, reason="The name was short.").body
    assert body["objections"] == 1
    assert "two rods" not in str(body)
    assert all(change["what"] != "objections" for change in body["changes"])


def test_noting_and_answering_leave_a_line_each_in_the_trail(world: Any) -> None:
    publish(world)
    noted = objection_note(world.secretary, match=world.match, peg="2", words="Read wrongly.")
    objection_answer(world.secretary, match=world.match, objection_id=noted.pk, answer="Upheld.")
    lines = AuditEntry.objects.filter(verb__startswith="objection").order_by("pk")
    assert [(line.verb, line.person) for line in lines] == [
        ("objection_note", world.secretary),
        ("objection_answer", world.secretary),
    ]
    noted.refresh_from_db()
    assert (noted.peg, noted.answer, noted.answered_by) == ("2", "Upheld.", world.secretary)


def test_an_answer_stays_as_it_was_given(world: Any) -> None:
    publish(world)
    noted = objection_note(world.secretary, match=world.match, words="Read wrongly.")
    objection_answer(world.secretary, match=world.match, objection_id=noted.pk, answer="Upheld.")
    with pytest.raises(Problem, match="answered already: “Upheld"):
        objection_answer(world.secretary, match=world.match, objection_id=noted.pk, answer="No.")


def test_there_is_nothing_to_object_to_before_a_bulletin_or_after_confirmation(world: Any) -> None:
    with pytest.raises(Problem, match="publish one first"):
        objection_note(world.secretary, match=world.match, words="Too early.")
    publish(world, confirmed=True, reason="Everybody agreed.")
    with pytest.raises(Problem, match="a correction is a new bulletin"):
        objection_note(world.secretary, match=world.match, words="Too late.")
    assert Objection.objects.count() == 0


@pytest.mark.parametrize(
    ("given", "at"),
    [
        ({"words": "  "}, "/words"),
        ({"words": "x" * 401}, "/words"),
        ({"words": "a\0b"}, "/words"),
        ({"words": "Late.", "peg": "99"}, "/peg"),
    ],
)
def test_what_is_not_understood_is_told_at_its_field(world: Any, given: Any, at: str) -> None:
    publish(world)
    with pytest.raises(Problem) as refused:
        objection_note(world.secretary, match=world.match, **given)
    assert refused.value.faults[0].pointer == at


def test_an_objection_of_another_match_is_not_found(world: Any) -> None:
    with pytest.raises(Problem) as refused:
        objection_answer(world.secretary, match=world.match, objection_id=999, answer="No.")
    assert refused.value.code is Code.NOT_FOUND


@pytest.mark.parametrize(("who", "code"), ROLES)
def test_nobody_but_the_secretary_notes_or_answers(world: Any, who: str, code: Code) -> None:
    publish(world)
    noted = objection_note(world.secretary, match=world.match, words="Read wrongly.")
    person = getattr(world, who)
    with pytest.raises(Problem) as refused:
        objection_note(person, match=world.match, words="Mine too.")
    assert refused.value.code is code
    with pytest.raises(Problem) as refused:
        objection_answer(person, match=world.match, objection_id=noted.pk, answer="Upheld.")
    assert refused.value.code is code
    assert Objection.objects.get().answer == ""


def test_the_database_keeps_no_half_answer(world: Any) -> None:
    publish(world)
    noted = objection_note(world.secretary, match=world.match, words="Read wrongly.")
    noted.answer = "Upheld."
    with pytest.raises(IntegrityError), transaction.atomic():
        noted.save()
