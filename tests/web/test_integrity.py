"""What is stored agrees with itself, and each thing that does not is said."""

from __future__ import annotations

from collections.abc import Callable
from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command

from bait.models import Order, OrderVersion
from bait.reads.order_inputs import inputs_digest
from matches.models import Bulletin, Club, Disagreement, Draw, League, LeagueTable, WeighIn
from tests.web.phone import Phone
from web.integrity import faults_found


@pytest.fixture
def fished(world: Any) -> Any:
    """Two weights for one net, one for another, and a bulletin's digest that is right."""
    for person, weight in ((world.weigher, 4250), (world.captain, 4300)):
        phone = Phone(person, world.match)
        phone.weigh("1", weight)
        phone.sync()
    phone.weigh("2", 980)
    phone.sync()
    assert WeighIn.objects.count() == 3 and Disagreement.objects.count() == 1
    return world


def said() -> tuple[str, int]:
    out = StringIO()
    try:
        call_command("integrity", stdout=out)
    except SystemExit as end:
        return out.getvalue(), int(str(end.code))
    return out.getvalue(), 0


def rows() -> list[Any]:
    return [list(m.objects.order_by("pk").values()) for m in (WeighIn, Disagreement, Club)]


def test_sound_club_is_said_to_be_sound_and_nothing_changes(fished: Any) -> None:
    before = rows()
    assert said() == ("Everything stored agrees with itself.\n", 0)
    assert rows() == before


def weight_changed(_world: Any) -> None:
    WeighIn.objects.filter(weight=980).update(weight=9800)


def weigh_in_gone(_world: Any) -> None:
    WeighIn.objects.filter(weight=980).delete()


def disagreement_gone(_world: Any) -> None:
    Disagreement.objects.all().delete()


def counted_back(world: Any) -> None:
    Club.objects.filter(pk=world.club.pk).update(fact_counter=1)


def bulletin_changed(world: Any) -> None:
    who = world.secretary
    Bulletin.objects.create(
        match=world.match, number=1, body={"form": 1}, digest="0" * 64, published_by=who
    )


def table_changed(world: Any) -> None:
    league = League.objects.create(
        club=world.club, name="Wend League", slug="wend", rules={}, of="anglers"
    )
    LeagueTable.objects.create(league=league, number=1, body={"form": 1}, digest="0" * 64)


def order_changed(world: Any) -> None:
    order = Order.objects.create(match=world.match, team=world.alders)
    OrderVersion.objects.create(
        order=order,
        number=1,
        inputs={},
        inputs_digest=inputs_digest({}),
        answer={},
        status="optimal",
        total_pence=420,
        goods_pence=420,
        delivery_pence=0,
    )


def draw_changed(world: Any) -> None:
    Draw.objects.create(match=world.match, mode="open", seed="ab" * 32, commitment="0" * 64)


WRONG: list[tuple[Callable[[Any], None], str]] = [
    (weight_changed, "its weigh-ins are not what its facts say"),
    (weigh_in_gone, "its weigh-ins are not what its facts say"),
    (disagreement_gone, "its open disagreements are not those of its facts"),
    (counted_back, "counts 1 facts, and there is a number 3"),
    (bulletin_changed, "Bulletin June Open 20 Jun 2026 · 1 is not what"),
    (table_changed, "League table Wend League · 1 is not what"),
    (order_changed, "its lines do not add up to its goods"),
    (draw_changed, "its seed does not give the commitment"),
]


@pytest.mark.parametrize(("change", "words"), WRONG, ids=lambda one: getattr(one, "__name__", ""))
def test_what_was_changed_past_the_program_is_said(
    fished: Any, change: Callable[[Any], None], words: str
) -> None:
    change(fished)
    (sentence,) = faults_found()
    assert words in sentence
    assert said() == (f"{sentence}\n", 1)
