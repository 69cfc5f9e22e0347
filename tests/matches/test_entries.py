"""Who is entered, waits, stands by, withdraws and takes over a place."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from matches.models import Angler, AuditEntry, DrawnPeg, Entry, EntryStatus, Match, Team
from matches.problems import Code, Problem
from matches.reads.results import match_result
from matches.reckon.errors import BadInput
from matches.writes.anglers import angler_add
from matches.writes.draws import draw_commit, draw_hold
from matches.writes.entries import (
    entries_add,
    entry_access_set,
    entry_let_in,
    entry_status_set,
)
from matches.writes.matches import match_call_off
from matches.writes.withdrawals import entry_withdraw
from tests.fished import weigh
from web.board.draw_shown import draws_shown

from .planned import anglers, status_of, undrawn

pytestmark = pytest.mark.django_db


def add(world: Any, rows: list[Angler], **more: Any) -> Any:
    ids = [a.pk for a in rows]
    return entries_add(world.secretary, match=world.match, angler_ids=ids, **more)


def withdraw(world: Any, first: str, **more: Any) -> Any:
    entry = Entry.objects.get(match=world.match, angler__name__startswith=first)
    return entry_withdraw(world.secretary, match=world.match, entry_id=entry.pk, **more)


def stand_by(world: Any, name: str, status: str = "reserve") -> Entry:
    (angler,) = anglers(world, name)
    return Entry.objects.create(match=world.match, angler=angler, status=status)


def test_a_team_is_entered_at_once_and_singles_alone(world: Any) -> None:
    undrawn(world)
    team = anglers(world, "Hester Vane", "Silas Brome", team=world.alders)
    added = add(world, team, team_id=world.alders.pk)
    assert [(e.angler.name, e.team) for e in added.entered] == [
        ("Hester Vane", world.alders),
        ("Silas Brome", world.alders),
    ]
    alone = anglers(world, "Una Sedge", team=world.alders)
    assert add(world, alone).entered[0].team is None
    assert AuditEntry.objects.filter(verb="entry_add").count() == 3


def test_when_places_are_full_the_rest_wait_in_their_order_and_a_withdrawal_lets_the_first_in(
    world: Any,
) -> None:
    undrawn(world, places_most=5)
    added = add(world, anglers(world, "Una Sedge", "Bram Quillet", "Clem Harrow"))
    assert [e.angler.name for e in added.entered] == ["Una Sedge"]
    assert [e.angler.name for e in added.waiting] == ["Bram Quillet", "Clem Harrow"]
    done = withdraw(world, "Maud")
    assert [e.angler.name for e in done.taken_in] == ["Bram Quillet"]
    assert status_of(world.match) == {
        "Maud": "withdrawn",
        "Perrin": "entered",
        "Wilmot": "entered",
        "Odette": "entered",
        "Una": "entered",
        "Bram": "entered",
        "Clem": "waiting",
    }


def test_who_withdrew_enters_again_at_the_end_of_the_line(world: Any) -> None:
    match = undrawn(world, places_most=4)
    stand_by(world, "Una Sedge", "waiting")
    withdraw(world, "Maud")
    maud = Angler.objects.get(name="Maud Ferris")
    assert [e.angler.name for e in add(world, [maud]).waiting] == ["Maud Ferris"]
    withdraw(world, "Perrin")
    assert status_of(match)["Maud"] == "entered"


def test_nobody_is_entered_twice_and_nothing_of_that_list_is_kept(world: Any) -> None:
    undrawn(world)
    maud = Angler.objects.get(name="Maud Ferris")
    with pytest.raises(Problem, match="Maud Ferris: in this match already"):
        add(world, [*anglers(world, "Una Sedge"), maud])
    assert not Entry.objects.filter(angler__name="Una Sedge").exists()
    once = anglers(world, "Ivo Lasker")[0]
    assert len(add(world, [once, once]).entered) == 1


def test_lists_that_do_not_fit_are_refused(world: Any) -> None:
    undrawn(world)
    theirs = Angler.objects.create(club=world.other_club, name="Gus Pennant")
    their_team = Team.objects.create(club=world.other_club, name="Larkmill")
    una = anglers(world, "Una Sedge")
    for rows, more, words in (
        ([], {}, "Tick who"),
        ([theirs], {}, "not in the club’s book"),
        (una, {"team_id": their_team.pk}, "no such team"),
        (una, {"status": "withdrawn"}, "entered or reserves"),
    ):
        with pytest.raises(Problem, match=words):
            add(world, rows, **more)
    match_call_off(world.secretary, match=world.match, reason="Flood.")
    with pytest.raises(Problem, match="called off"):
        add(world, una)


def test_after_the_draw_late_comers_are_reserves_only(world: Any) -> None:
    una = anglers(world, "Una Sedge")
    with pytest.raises(Problem, match="The pegs are drawn"):
        add(world, una)
    assert add(world, una, status="reserve").entered[0].status == EntryStatus.RESERVE
    with pytest.raises(Problem, match="The pegs are drawn"):
        entry_let_in(
            world.secretary, match=world.match, entry_id=Entry.objects.get(angler=una[0]).pk
        )


def test_a_reserve_is_let_in_while_there_is_a_place(world: Any) -> None:
    match = undrawn(world, places_most=4)
    una = stand_by(world, "Una Sedge")
    with pytest.raises(Problem, match="All places are taken"):
        entry_let_in(world.secretary, match=match, entry_id=una.pk)
    withdraw(world, "Maud")
    assert entry_let_in(world.secretary, match=match, entry_id=una.pk).status == "entered"
    with pytest.raises(Problem, match="Only a reserve"):
        entry_let_in(world.secretary, match=match, entry_id=una.pk)


def early(world: Any) -> Match:
    """Drawn, and a week before the start."""
    match = world.match
    match.start_at = dt.datetime.now(dt.UTC) + dt.timedelta(days=7)
    match.end_at = match.start_at + dt.timedelta(hours=5)
    match.state = "drawn"
    match.save()
    return match


def test_a_substitute_takes_the_place_the_team_and_the_peg(world: Any) -> None:
    match = early(world)
    una = stand_by(world, "Una Sedge")
    done = withdraw(world, "Maud", substitute_id=una.pk)
    assert (done.peg, done.substitute.angler.name, done.taken_in) == ("1", "Una Sedge", ())
    una.refresh_from_db()
    assert (una.status, una.team, una.replaces) == ("entered", world.alders, world.entries["Maud"])
    assert DrawnPeg.objects.get(section_peg=world.pegs["1"]).entry == una
    assert next(e.angler for e in match_result(match).entries()) == "Una Sedge"


def test_a_teams_peg_left_empty_counts_an_absent_angler_and_may_be_filled_later(
    world: Any,
) -> None:
    match = early(world)
    done = withdraw(world, "Maud")
    assert (done.entry.status, done.peg) == ("absent", "1")
    assert match_result(match).teams[0].members == 2
    with pytest.raises(Problem, match="Marked absent already"):
        withdraw(world, "Maud")
    una = stand_by(world, "Una Sedge")
    withdraw(world, "Maud", substitute_id=una.pk)
    assert status_of(match)["Una"] == "entered" and status_of(match)["Maud"] == "withdrawn"


def test_a_single_anglers_peg_left_empty_is_nobodys_and_no_one_is_taken_in(world: Any) -> None:
    match = early(world)
    match.places_most = 4
    match.save()
    Entry.objects.filter(angler__name="Maud Ferris").update(team=None)
    stand_by(world, "Una Sedge", "waiting")
    done = withdraw(world, "Maud")
    assert (done.entry.status, done.taken_in) == ("withdrawn", ())
    assert not DrawnPeg.objects.filter(section_peg=world.pegs["1"]).exists()
    assert status_of(match)["Una"] == "waiting"
    assert match_result(match).expected == 3


def test_a_draw_still_checks_after_substitutions_and_withdrawals_and_not_after_a_swap(
    world: Any,
) -> None:
    match = undrawn(world)
    Entry.objects.filter(angler__name="Maud Ferris").update(team=None)
    draw_commit(world.secretary, match=match, mode="open")
    draw_hold(world.secretary, match=match)

    def shown() -> dict[str, Any]:
        return draws_shown(match)[0]

    una, ivo = stand_by(world, "Una Sedge"), stand_by(world, "Ivo Lasker")
    wilmot = world.entries["Wilmot"]
    withdraw(world, "Wilmot", substitute_id=una.pk)
    withdraw(world, "Una", substitute_id=ivo.pk)
    withdraw(world, "Maud")
    assert shown()["checks"]
    assert shown()["now"] == {str(wilmot.pk): str(ivo.pk), str(world.entries["Maud"].pk): ""}
    first, second = DrawnPeg.objects.filter(entry__in=[ivo, world.entries["Perrin"]])
    first.delete()
    DrawnPeg.objects.filter(pk=second.pk).update(entry=first.entry)
    assert not shown()["checks"]


def test_from_the_start_on_a_withdrawal_needs_a_reason(world: Any) -> None:
    with pytest.raises(Problem, match="has started: say why"):
        withdraw(world, "Maud")
    withdraw(world, "Maud", reason="Taken ill on the way.")
    assert AuditEntry.objects.get(verb="entry_withdraw").detail["reason"] == "Taken ill on the way."


def test_who_weighed_in_cannot_withdraw_nor_who_withdrew_or_is_disqualified(world: Any) -> None:
    early(world)
    weigh(world, "1", 500)
    with pytest.raises(Problem, match="weighed in: mark them retired"):
        withdraw(world, "Maud")
    Entry.objects.filter(angler__name="Wilmot Crane").update(status="withdrawn")
    with pytest.raises(Problem, match="withdrawn already"):
        withdraw(world, "Wilmot")
    Entry.objects.filter(angler__name="Perrin Stoat").update(status="disqualified")
    with pytest.raises(Problem, match="keeps the place"):
        withdraw(world, "Perrin")


def test_only_who_stands_by_can_take_a_place(world: Any) -> None:
    early(world)
    odette = world.entries["Odette"].pk
    with pytest.raises(Problem, match="Choose a reserve"):
        withdraw(world, "Maud", substitute_id=odette)
    una, ivo = stand_by(world, "Una Sedge"), stand_by(world, "Ivo Lasker")
    with pytest.raises(Problem, match="no place to take over"):
        withdraw(world, "Una", substitute_id=ivo.pk)
    with pytest.raises(Problem, match="No such entry"):
        withdraw(world, "Maud", substitute_id=0)
    assert withdraw(world, "Una").entry == una


def test_who_came_back_into_another_place_can_give_that_back_too(world: Any) -> None:
    match = early(world)
    una, ivo = stand_by(world, "Una Sedge"), stand_by(world, "Ivo Lasker")
    withdraw(world, "Maud", substitute_id=una.pk)
    maud = Angler.objects.get(name="Maud Ferris")
    back = add(world, [maud], status="reserve").entered[0]
    withdraw(world, "Perrin", substitute_id=back.pk)
    withdraw(world, "Maud", substitute_id=ivo.pk)
    assert DrawnPeg.objects.get(section_peg=world.pegs["2"]).entry == ivo
    assert status_of(match)["Una"] == "entered"


def test_the_statuses_of_the_day_are_for_those_with_a_place(world: Any) -> None:
    una = stand_by(world, "Una Sedge", "waiting")
    with pytest.raises(Problem, match="no place in the match"):
        entry_status_set(world.secretary, match=world.match, entry_id=una.pk, status="entered")


def test_an_angler_goes_into_the_book_once_and_consent_counts_for_juniors_only(
    world: Any,
) -> None:
    def book(name: str, **more: Any) -> Angler:
        return angler_add(world.secretary, club=world.club, name=name, **more)

    young = book("  Tilda   Roke ", junior=True, team_id=world.teals.pk)
    assert (young.name, young.team, young.public_name) == ("Tilda Roke", world.teals, "T. R.")
    assert book("Kit Larch", junior=True, guardian_consents=True).public_name == "Kit Larch"
    assert not book("Gus Pennant", guardian_consents=True).guardian_consents
    theirs = Team.objects.create(club=world.other_club, name="Larkmill")
    for name, more, words in (
        ("", {}, "Write the angler’s name"),
        ("x" * 121, {}, "Write the angler’s name"),
        ("a\x00", {}, "cannot be stored"),
        ("TILDA ROKE", {}, "in the book already"),
        ("Una Sedge", {"team_id": theirs.pk}, "no such team"),
    ):
        with pytest.raises(BadInput, match=words):
            book(name, **more)


def test_the_trail_names_nobody_who_asks_for_access(world: Any) -> None:
    entry = world.entries["Maud"]
    for _twice in range(2):
        entry_access_set(world.secretary, match=world.match, entry_id=entry.pk, needs=True)
    entry.refresh_from_db()
    assert entry.needs_access
    assert AuditEntry.objects.get(verb="entry_access_set").subject == f"entry {entry.pk}"


@pytest.mark.parametrize(
    ("who", "code"),
    [
        ("captain", Code.NOT_ALLOWED),
        ("member", Code.NOT_ALLOWED),
        ("weigher", Code.NOT_ALLOWED),
        ("outsider", Code.NOT_FOUND),
    ],
)
def test_only_the_clubs_secretary_enters_and_withdraws(world: Any, who: str, code: Code) -> None:
    person, match = getattr(world, who), world.match
    maud = world.entries["Maud"].pk
    before = status_of(match)
    for act in (
        lambda: entries_add(person, match=match, angler_ids=[1]),
        lambda: entry_let_in(person, match=match, entry_id=maud),
        lambda: entry_access_set(person, match=match, entry_id=maud, needs=True),
        lambda: entry_status_set(person, match=match, entry_id=maud, status="absent"),
        lambda: entry_withdraw(person, match=match, entry_id=maud, reason="Mine."),
        lambda: angler_add(person, club=world.club, name="Nobody"),
    ):
        with pytest.raises(Problem) as caught:
            act()
        assert caught.value.code is code
    assert status_of(match) == before
