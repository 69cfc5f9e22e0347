"""Several rounds of one league published at once."""

from __future__ import annotations

from typing import Any

import pytest

from matches.writes.bulletins import bulletin_publish
from matches.writes.leagues import league_edit
from tests.league_season import LOW, league_of, match_again, weigh

pytestmark = pytest.mark.django_db(transaction=True)


def test_rounds_published_at_once_make_one_table_each_and_the_last_has_them_all(
    shared_world: Any, together: Any
) -> None:
    world = shared_world
    matches = [world.match, *(match_again(world, name=f"Round {n}", days=n) for n in range(1, 5))]
    for match in matches:
        weigh(world, match, {"Maud": 4, "Perrin": 3, "Wilmot": 2, "Odette": 1})
    league = league_of(world, *matches)

    def publish(match: Any) -> Any:
        return lambda: bulletin_publish(world.secretary, match=match)

    def edit() -> Any:
        return league_edit(
            world.secretary,
            league=league,
            name=league.name,
            rules={**LOW, "drop_worst": 1},
            reason="Agreed in May.",
        )

    together([*(publish(match) for match in matches), edit])
    tables = list(league.tables.order_by("number"))
    assert [t.number for t in tables] == list(range(1, len(tables) + 1))
    assert [t.body["before"] for t in tables] == [None, *(t.digest for t in tables[:-1])]
    last = tables[-1].body
    assert all(r["state"] == "counted" for r in last["rounds"])
    assert last["rules"]["drop_worst"] == 1
    assert {row["name"]: row["total"] for row in last["table"]}["Maud Ferris"] == "4"
