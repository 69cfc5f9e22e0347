"""Two captains import a shop's price list at once: each list goes in whole, and none twice."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import pytest

from bait.models import Pack, PackBreak
from matches.models import AuditEntry
from tests.clients import signed_in

pytestmark = pytest.mark.django_db(transaction=True)

AT_ONCE = 8
LIST = "/desk/shops/otterbeck/hut/list/"
HEAD = "bait,amount,unit,price,from_packs,break_price\n"
SIZES = ("1", "2", "4", "8")


def priced(price: str) -> str:
    return HEAD + "".join(f"Hemp,{size},pint,{price},10,1.00\n" for size in SIZES)


def looked_at(person: Any, text: str) -> Callable[[], str]:
    """The list was looked at; what its import, still to be tapped, answers."""
    client = signed_in(person)
    sent = io.BytesIO(text.encode())
    sent.name = "prices.csv"
    page = client.post(LIST, {"do": "look", "file": sent}).content.decode()
    kept = page.split('name="list" value="')[1].split('"')[0]

    def tap() -> str:
        answer = client.post(LIST, {"do": "import", "list": kept}, follow=True)
        assert answer.status_code == 200
        words = answer.content.decode()
        return next(
            said for said in ("Imported: 4 new", "4 changed", "Nothing differed") if said in words
        )

    return tap


def test_eight_imports_of_one_list_add_each_pack_once_and_the_others_are_told(
    shared_world: Any, together: Any
) -> None:
    world = shared_world
    Pack.objects.filter(bait=world.baits["hemp"]).delete()
    people = [world.captain, world.secretary] * (AT_ONCE // 2)
    said = together([looked_at(person, priced("2.00")) for person in people])
    assert sorted(said) == ["Imported: 4 new", *["Nothing differed"] * (AT_ONCE - 1)]
    packs = Pack.objects.filter(shop__key="hut", bait__key="hemp")
    assert sorted(f"{pack.amount.normalize():f}" for pack in packs) == list(SIZES)
    assert PackBreak.objects.filter(pack__in=packs).count() == len(SIZES)
    assert AuditEntry.objects.filter(verb="price_list.imported").count() == 1


def test_of_two_lists_at_once_one_stands_whole_and_neither_is_mixed_in(
    shared_world: Any, together: Any
) -> None:
    world = shared_world
    Pack.objects.filter(bait=world.baits["hemp"]).delete()
    taps = [
        looked_at(world.captain, priced("2.00")),
        looked_at(world.secretary, priced("3.00")),
    ]
    assert sorted(together(taps)) == ["4 changed", "Imported: 4 new"]
    packs = Pack.objects.filter(shop__key="hut", bait__key="hemp")
    assert (packs.count(), len({pack.price_pence for pack in packs})) == (4, 1)
    assert PackBreak.objects.filter(pack__in=packs).count() == len(SIZES)
