"""Two secretaries at once, and a weight that arrives while a result is published."""

from __future__ import annotations

from typing import Any

import pytest

from matches.models import (
    AuditEntry,
    Bulletin,
    Draw,
    DrawnPeg,
    Match,
    MatchState,
    Membership,
    Person,
    Role,
)
from matches.problems import Code
from matches.reads.results import match_result
from matches.reckon.canonical import canonical_digest
from matches.writes.bulletins import bulletin_publish
from matches.writes.draw_telling import draw_begin, draw_tell, draw_tell_rest
from matches.writes.draws import draw_commit, draw_hold
from matches.writes.facts import fact_log_at_desk
from tests.fished import weigh
from tests.races.conftest import answered

pytestmark = pytest.mark.django_db(transaction=True)

AT_ONCE = 8


def test_eight_taps_on_publish_make_one_bulletin(shared_world: Any, together: Any) -> None:
    world = shared_world
    weigh(world, "1", 4250)

    def publish() -> int:
        return bulletin_publish(world.secretary, match=world.match).number

    answers = together([answered(publish)] * AT_ONCE)
    assert sorted(answers, key=str) == [1, *[Code.CONFLICT] * (AT_ONCE - 1)]
    assert [b.number for b in Bulletin.objects.all()] == [1]


def test_eight_taps_on_commit_make_one_seed_and_eight_on_hold_one_draw(
    shared_world: Any, together: Any
) -> None:
    world = shared_world

    def commit() -> int:
        return draw_commit(world.secretary, match=world.match, mode="open").pk

    def hold() -> int:
        return draw_hold(world.secretary, match=world.match).pk

    assert len(set(together([answered(commit)] * AT_ONCE))) == 1
    answers = together([answered(hold)] * AT_ONCE)
    draw = Draw.objects.get()
    assert sorted(answers, key=str) == sorted([draw.pk, *[Code.CONFLICT] * (AT_ONCE - 1)], key=str)
    assert DrawnPeg.objects.filter(draw=draw).count() == 4


def test_eight_taps_on_the_next_angler_tell_one(shared_world: Any, together: Any) -> None:
    world = shared_world
    draw_commit(world.secretary, match=world.match, mode="open")
    draw_begin(world.secretary, match=world.match)

    def tell() -> int | None:
        return draw_tell(world.secretary, match=world.match, told=1).told

    draw_tell(world.secretary, match=world.match, told=0)
    assert together([answered(tell)] * AT_ONCE) == [2] * AT_ONCE
    assert DrawnPeg.objects.filter(match=world.match).count() == 2
    assert AuditEntry.objects.filter(verb="draw_tell").count() == 2


def test_a_tap_and_all_the_rest_at_once_tell_everybody_once(
    shared_world: Any, together: Any
) -> None:
    world = shared_world
    draw_commit(world.secretary, match=world.match, mode="open")
    draw_begin(world.secretary, match=world.match)
    works = [
        answered(lambda: draw_tell(world.secretary, match=world.match, told=0)),
        answered(lambda: draw_tell_rest(world.secretary, match=world.match)),
    ]
    together(works * 2)
    draw = Draw.objects.get()
    assert (draw.told, draw.drawn_at is None) == (4, False)
    assert DrawnPeg.objects.filter(draw=draw).count() == 4
    assert AuditEntry.objects.filter(verb="draw_hold").count() == 1


def test_a_bulletin_is_whole_while_weights_arrive(shared_world: Any, together: Any) -> None:
    """Whatever came between, what it says of places fits what it says of weights."""
    world = shared_world
    people = []
    for n in range(4):
        person = Person.objects.create_user(f"scales-{n}")
        Membership.objects.create(
            club=world.club, person=person, role=Role.WEIGHER, match=world.match
        )
        people.append(person)
    works = [
        lambda p=person, peg=peg: weigh(world, peg, 1000 * int(peg), by=p)
        for person, peg in zip(people, "1245", strict=True)
    ]

    def publish() -> int:
        return bulletin_publish(world.secretary, match=world.match, reason="As they came.").number

    together([*works[:2], answered(publish), *works[2:], answered(publish)])
    for bulletin in Bulletin.objects.all():
        body = bulletin.body
        assert canonical_digest(body) == bulletin.digest
        entries = [e for s in body["sections"] for e in s["entries"]]
        assert all((e["weight"] is None) == (e["place"] is None) for e in entries)
        assert body["to_weigh"] == sum(1 for e in entries if e["weight"] is None)
    assert match_result(Match.objects.get(pk=world.match.pk)).to_weigh == ()


def test_a_weight_at_the_moment_of_confirmation_is_in_it_or_put_before_the_secretary(
    shared_world: Any, together: Any
) -> None:
    world = shared_world
    for peg in "1245":
        weigh(world, peg, 1000)

    def confirm() -> int:
        return bulletin_publish(world.secretary, match=world.match, confirmed=True).number

    def second_net() -> Any:
        return fact_log_at_desk(
            world.weigher,
            match=world.match,
            kind="weigh_in",
            peg="1",
            body={"net": 2, "weight": 500, "unit": "g", "witness": None},
        )

    together([answered(confirm), second_net])
    bulletin = Bulletin.objects.get()
    said = bulletin.body["sections"][0]["entries"]
    maud = next(e for e in said if e["peg"] == "1")
    open_now = match_result(Match.objects.get(pk=world.match.pk)).disagreements
    assert (maud["weight"], open_now) in [(1500, 0), (1000, 1)]
    assert Match.objects.get(pk=world.match.pk).state == MatchState.CONFIRMED
