"""What stands of a match: places, teams, the biggest weight, and who is still to weigh."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from matches.models import EntryStatus
from matches.reads.results import match_result
from matches.reckon.errors import BadInput
from tests.fished import weigh

pytestmark = pytest.mark.django_db


def status(world: Any, who: str, to: str) -> None:
    world.entries[who].status = to
    world.entries[who].save()


def places(world: Any) -> dict[str, str | None]:
    return {e.angler.split()[0]: e.place for e in match_result(world.match).entries()}


def test_before_the_first_weight_nobody_has_a_place_and_everybody_is_to_weigh(world: Any) -> None:
    result = match_result(world.match)
    assert [e.place for e in result.entries()] == [None] * 4
    assert (result.weighed, result.expected) == (0, 4)
    assert [e.peg for e in result.to_weigh] == ["1", "2", "4", "5"]
    assert result.biggest is None
    assert result.teams == ()


def test_nets_add_up_and_sections_are_placed_by_weight(world: Any) -> None:
    weigh(world, "1", 1200)
    weigh(world, "1", 850, net=2)
    weigh(world, "2", 2000)
    weigh(world, "4", 0)
    weigh(world, "5", 300)
    result = match_result(world.match)
    assert places(world) == {"Maud": "1", "Perrin": "2", "Wilmot": "2", "Odette": "1"}
    maud = next(result.entries())
    assert [n.weight for n in maud.nets] == [1200, 850]
    assert (maud.weight, maud.points, maud.team) == (2050, "1", "Otterbeck Alders")
    assert result.biggest is not None
    assert result.biggest.angler == "Maud Ferris"
    assert [(t.rank, t.team, t.points, t.weight) for t in result.teams] == [
        (1, "Otterbeck Teals", "3", 2300),
        (2, "Otterbeck Alders", "3", 2050),
    ]
    assert [(i.rank, i.entry.angler) for i in result.individuals] == [
        (1, "Maud Ferris"),
        (2, "Odette Marl"),
        (3, "Perrin Stoat"),
        (4, "Wilmot Crane"),
    ]


def test_equal_weights_share_the_average_of_their_places(world: Any) -> None:
    weigh(world, "1", 1500)
    weigh(world, "2", 1500)
    assert places(world)["Maud"] == places(world)["Perrin"] == "1.5"


def test_a_blank_takes_the_place_it_will_have_while_others_still_weigh(world: Any) -> None:
    weigh(world, "2", 0)
    # (first free place 1 + section size 2) / 2; with the size of one it would be 1.
    assert places(world)["Perrin"] == "1.5"
    assert places(world)["Maud"] is None


def test_a_team_has_no_rank_before_all_its_members_weighed(world: Any) -> None:
    weigh(world, "1", 1000)
    weigh(world, "4", 1000)
    weigh(world, "2", 9000)
    assert [(t.rank, t.team, t.counted, t.members) for t in match_result(world.match).teams] == [
        (1, "Otterbeck Alders", 2, 2),
        (None, "Otterbeck Teals", 1, 2),
    ]


def test_the_absent_get_section_size_plus_one_and_are_not_waited_for(world: Any) -> None:
    status(world, "Perrin", EntryStatus.ABSENT)
    weigh(world, "1", 0)
    assert places(world)["Perrin"] == "3"
    assert match_result(world.match).expected == 3


def test_the_disqualified_lose_place_and_biggest_weight_but_the_weight_is_shown(world: Any) -> None:
    weigh(world, "1", 9000)
    weigh(world, "2", 100)
    status(world, "Maud", EntryStatus.DISQUALIFIED)
    result = match_result(world.match)
    assert places(world)["Maud"] == "3"
    assert places(world)["Perrin"] == "1"
    assert next(result.entries()).weight == 9000
    assert result.biggest is not None
    assert result.biggest.angler == "Perrin Stoat"


def test_the_retired_keep_what_was_weighed_and_without_a_weight_are_blanks(world: Any) -> None:
    weigh(world, "1", 700)
    status(world, "Maud", EntryStatus.RETIRED)
    status(world, "Perrin", EntryStatus.RETIRED)
    assert places(world)["Maud"] == "1"
    assert places(world)["Perrin"] == "2"
    assert [e.peg for e in match_result(world.match).to_weigh] == ["4", "5"]


def test_an_absent_angler_with_a_weight_is_absent_all_the_same(world: Any) -> None:
    weigh(world, "1", 700)
    status(world, "Maud", EntryStatus.ABSENT)
    assert places(world)["Maud"] == "3"


def test_who_has_no_peg_is_named_and_not_placed(world: Any) -> None:
    world.entries["Odette"].drawn_peg.delete()
    result = match_result(world.match)
    assert result.undrawn == ("Odette Marl",)
    assert "Odette Marl" not in {e.angler for e in result.entries()}


def test_of_two_weights_for_a_net_the_first_is_placed_until_it_is_settled(world: Any) -> None:
    weigh(world, "1", 1000)
    weigh(world, "1", 1400)
    result = match_result(world.match)
    assert result.disagreements == 1
    assert next(result.entries()).weight == 1000


def test_a_match_scored_by_points_up_is_placed_by_its_own_scheme(world: Any) -> None:
    world.match.scheme = {"direction": "high", "first": "20", "blank": "zero", "absent": "zero"}
    world.match.save()
    weigh(world, "1", 1000)
    weigh(world, "2", 900)
    points = {e.angler: e.points for e in match_result(world.match).entries()}
    assert points["Maud Ferris"] == "20"
    assert points["Perrin Stoat"] == "19"


def test_a_scheme_that_makes_no_sense_is_refused_in_words(world: Any) -> None:
    world.match.scheme = {"direction": "sideways"}
    with pytest.raises(BadInput, match="Use one of: low, high"):
        match_result(world.match)


def test_a_match_without_a_draw_has_sections_and_no_entries(world: Any) -> None:
    world.match.drawn_pegs.all().delete()
    result = match_result(world.match)
    assert [(s.label, s.entries) for s in result.sections] == [("A", ()), ("B", ())]
    assert len(result.pegs) == 6


def test_a_result_asks_four_queries_however_many_have_weighed(world: Any) -> None:
    with CaptureQueriesContext(connection) as none:
        match_result(world.match)
    for peg in "1245":
        for net in range(1, 5):
            weigh(world, peg, 100, net=net)
    with CaptureQueriesContext(connection) as all_of:
        match_result(world.match)
    assert (len(none), len(all_of)) == (4, 4)
