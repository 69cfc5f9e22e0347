"""A pinch, a handful and a pouch are measured with a cup."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from bait.models import ThrowSize
from bait.reads.plan_whole import angler_throws
from bait.writes.throw_sizes import throw_forget, throw_measure
from matches.models import AuditEntry
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput


def measure(world: Any, who: str = "member", **changes: Any) -> ThrowSize:
    given = {"throw": "pouch", "bait": "", "cup_ml": 250, "throws": 6, **changes}
    return throw_measure(getattr(world, who), entry=world.entries["Wilmot"], **given)


def test_a_size_is_the_cup_by_its_throws_and_measured_again_replaced(world: Any) -> None:
    assert measure(world).ml == Decimal("41.7")
    assert measure(world, throws=5).ml == 50
    assert measure(world, bait="caster", throws=8).ml == Decimal("31.3")  # 31.25, half up
    angler = world.entries["Wilmot"].angler
    assert angler_throws(angler.pk) == {
        ("pouch", None): 50,
        ("pouch", "caster"): Decimal("31.3"),
    }
    assert AuditEntry.objects.filter(verb="throw.measured").count() == 3


def test_a_size_is_forgotten_once(world: Any) -> None:
    size = measure(world)
    throw_forget(world.member, entry=world.entries["Wilmot"], size_id=size.pk)
    assert not ThrowSize.objects.exists()
    with pytest.raises(Problem) as refused:
        throw_forget(world.member, entry=world.entries["Wilmot"], size_id=size.pk)
    assert refused.value.code is Code.NOT_FOUND


@pytest.mark.parametrize(
    ("changes", "pointers"),
    [
        ({"throw": "shovel"}, ["/throw"]),
        ({"cup_ml": 0}, ["/cup_ml"]),
        ({"cup_ml": 5001}, ["/cup_ml"]),
        ({"throws": 0}, ["/throws"]),
        ({"bait": "bloodworm"}, ["/bait"]),
        ({"cup_ml": 5000, "throws": 2}, ["/throws"]),  # 2.5 L is no throw
        ({"cup_ml": 1, "throws": 500}, ["/throws"]),  # nor is nothing
    ],
)
def test_a_cup_that_cannot_be_says_what_to_mend(
    world: Any, changes: dict[str, Any], pointers: list[str]
) -> None:
    with pytest.raises(BadInput) as refused:
        measure(world, **changes)
    assert [fault.pointer for fault in refused.value.faults] == pointers
    assert not ThrowSize.objects.exists()


@pytest.mark.parametrize("who", ["rival", "weigher", "outsider"])
def test_nobody_else_measures_a_members_throws(world: Any, who: str) -> None:
    with pytest.raises(Problem) as refused:
        measure(world, who)
    assert refused.value.code is Code.NOT_ALLOWED
