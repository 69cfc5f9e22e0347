"""A draw told angler by angler: the pegs of a draw held at once, one tap after the other."""

from __future__ import annotations

from typing import Any

import pytest

from matches.models import Angler, AuditEntry, Draw, DrawnPeg, Entry, EntryStatus, MatchState, Peg
from matches.problems import Code, Problem
from matches.reads.draws import draw_answer, draw_telling, telling_of
from matches.reads.match_pegs import match_pegs
from matches.reckon.sections import SectionRun
from matches.writes.draw_telling import draw_begin, draw_tell, draw_tell_rest
from matches.writes.draws import draw_commit, draw_hold
from matches.writes.match_pegs import sections_set
from matches.writes.waiting import waiting_take_in
from matches.writes.withdrawals import entry_withdraw

pytestmark = pytest.mark.django_db


@pytest.fixture
def begun(world: Any) -> Any:
    """The world's four anglers, committed to and begun, nobody told."""
    draw_commit(world.secretary, match=world.match, mode="open")
    draw_begin(world.secretary, match=world.match)
    return world


def tell(world: Any, told: int) -> Draw:
    return draw_tell(world.secretary, match=world.match, told=told)


def pegs(world: Any) -> dict[str, str]:
    rows = DrawnPeg.objects.filter(match=world.match).order_by("entry")
    rows = rows.select_related("section_peg__peg")
    return {str(row.entry_id): row.section_peg.peg.number for row in rows}


def in_order(world: Any) -> list[str]:
    return [str(pk) for pk in world.match.entries.order_by("pk").values_list("pk", flat=True)]


def test_when_it_begins_nobody_has_a_peg_and_the_draw_is_not_held(begun: Any) -> None:
    draw = Draw.objects.get()
    assert (draw.told, draw.drawn_at, pegs(begun)) == (0, None, {})
    assert telling_of(draw).following == in_order(begun)[0]
    begun.match.refresh_from_db()
    assert begun.match.state == MatchState.PLANNED


def test_each_tap_tells_one_in_the_order_of_entry_and_the_last_ends_it(begun: Any) -> None:
    order = in_order(begun)
    for told in range(4):
        draw = tell(begun, told)
        assert list(pegs(begun)) == order[: told + 1]
        assert [a.angler for a in telling_of(draw).told] == order[: told + 1]
        assert (draw.drawn_at is None) == (told < 3)
    begun.match.refresh_from_db()
    assert begun.match.state == MatchState.DRAWN
    assert telling_of(draw).following is None
    assert draw_telling(begun.match) is None


def test_the_pegs_are_those_of_a_draw_held_at_once(begun: Any) -> None:
    draw = tell(begun, 0)
    draw_tell_rest(begun.secretary, match=begun.match)
    one_by_one = pegs(begun)
    assert one_by_one == {a.angler: a.peg for a in draw_answer(draw).assignments}
    again = draw_commit(begun.secretary, match=begun.match, mode="open", reason="Once more.")
    Draw.objects.filter(pk=again.pk).update(seed=draw.seed, commitment=draw.commitment)
    draw_hold(begun.secretary, match=begun.match)
    assert pegs(begun) == one_by_one


def test_a_tap_that_comes_twice_tells_one(begun: Any) -> None:
    tell(begun, 0)
    assert tell(begun, 0).told == 1
    assert len(pegs(begun)) == 1


def test_a_tap_from_a_page_that_is_ahead_or_after_the_end_tells_nobody(begun: Any) -> None:
    assert tell(begun, 3).told == 0
    assert pegs(begun) == {}
    draw_tell_rest(begun.secretary, match=begun.match)
    before = AuditEntry.objects.count()
    assert tell(begun, 4).told == 4
    assert draw_tell_rest(begun.secretary, match=begun.match).told == 4
    assert AuditEntry.objects.count() == before


def test_begun_twice_it_goes_on_where_it_was(begun: Any) -> None:
    tell(begun, 0)
    assert draw_begin(begun.secretary, match=begun.match).told == 1
    assert len(pegs(begun)) == 1


def test_each_step_leaves_one_line_of_the_trail_and_the_seed_stands_in_the_last(
    begun: Any,
) -> None:
    tell(begun, 0)
    draw = draw_tell_rest(begun.secretary, match=begun.match)
    rows = AuditEntry.objects.filter(club=begun.club).order_by("pk")
    assert [row.verb for row in rows] == ["draw_commit", "draw_begin", "draw_tell", "draw_hold"]
    assert [draw.seed in str(row.detail) for row in rows] == [False, False, False, True]


def test_what_the_draw_hangs_on_stands_while_it_is_told(begun: Any) -> None:
    tell(begun, 0)
    waiting = Angler.objects.create(club=begun.club, name="Nell Sedge")
    late = Entry.objects.create(match=begun.match, angler=waiting, status=EntryStatus.WAITING)
    runs = match_pegs(begun.match).runs
    works: list[Any] = [
        lambda: draw_commit(begun.secretary, match=begun.match, mode="team", reason="Teams."),
        lambda: draw_hold(begun.secretary, match=begun.match),
        lambda: entry_withdraw(
            begun.secretary, match=begun.match, entry_id=begun.entries["Odette"].pk
        ),
        lambda: sections_set(
            begun.secretary,
            match=begun.match,
            runs=[SectionRun("Z", runs[0].pegs), *runs[1:]],
            again=True,
        ),
    ]
    for work in works:
        with pytest.raises(Problem, match="told one by one: tell all the rest") as refused:
            work()
        assert refused.value.code is Code.CONFLICT
    assert waiting_take_in(begun.secretary, match=begun.match) == []
    late.refresh_from_db()
    assert late.status == EntryStatus.WAITING


def test_none_can_be_told_before_it_is_begun(world: Any) -> None:
    works: list[Any] = [
        lambda: tell(world, 0),
        lambda: draw_tell_rest(world.secretary, match=world.match),
    ]
    for work in works:
        with pytest.raises(Problem, match="begin that first"):
            work()
    with pytest.raises(Problem, match="Publish the commitment first"):
        draw_begin(world.secretary, match=world.match)
    draw_commit(world.secretary, match=world.match, mode="open")
    for work in works:
        with pytest.raises(Problem, match="begin that first"):
            work()
    draw_hold(world.secretary, match=world.match)
    with pytest.raises(Problem, match="held already"):
        draw_begin(world.secretary, match=world.match)


def test_who_is_told_in_turn_of_those_who_ask_sits_at_an_accessible_peg(world: Any) -> None:
    Entry.objects.filter(pk=world.entries["Wilmot"].pk).update(needs_access=True)
    Peg.objects.filter(number="5").update(accessible=True)
    draw_commit(world.secretary, match=world.match, mode="team")
    draw_begin(world.secretary, match=world.match)
    draw_tell_rest(world.secretary, match=world.match)
    assert pegs(world)[str(world.entries["Wilmot"].pk)] == "5"


@pytest.mark.parametrize("who", ["weigher", "captain", "member", "outsider"])
def test_nobody_but_the_secretary_begins_or_tells(begun: Any, who: str) -> None:
    person = getattr(begun, who)
    expected = Code.NOT_FOUND if who == "outsider" else Code.NOT_ALLOWED
    works: list[Any] = [
        lambda: draw_begin(person, match=begun.match),
        lambda: draw_tell(person, match=begun.match, told=0),
        lambda: draw_tell_rest(person, match=begun.match),
    ]
    for work in works:
        with pytest.raises(Problem) as refused:
            work()
        assert refused.value.code is expected
    assert pegs(begun) == {}
