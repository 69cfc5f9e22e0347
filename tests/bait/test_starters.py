"""The usual baits and the invented shop: there with one press, gone with one, marked all along."""

from __future__ import annotations

import pytest

from bait.models import Bait, Pack, Shop
from bait.reckon.starters import EXAMPLE_KEY, USUAL_BAITS, example_lines
from bait.writes.starters import baits_usual_add, shop_example_add, usual_names
from matches.models import Club, Person, Role
from tests.clients import signed_in
from tests.conftest import World

pytestmark = pytest.mark.django_db


@pytest.fixture
def club(world: World) -> Club:
    """A club with nothing yet, and the world's secretary as its own."""
    made = Club.objects.create(name="Alder Brook", slug="alder-brook")
    made.memberships.create(person=world.secretary, role=Role.SECRETARY)
    return made


def pressed(person: Person, address: str, do: str) -> str:
    client = signed_in(person)
    return client.post(address, {"do": do}, follow=True).content.decode()


def test_each_usual_bait_has_a_name_and_each_invented_price_a_bait() -> None:
    keys = {bait.key for bait in USUAL_BAITS}
    assert keys == set(usual_names())
    assert {line.bait for line in example_lines()} == keys


def test_usual_baits_are_added_once_and_own_ones_of_that_name_stay(
    world: World, club: Club
) -> None:
    Bait.objects.create(club=club, key="mine", name="caster", kind="animal", unit="L")
    assert len(baits_usual_add(world.secretary, club=club)) == len(USUAL_BAITS) - 1
    assert baits_usual_add(world.secretary, club=club) == []
    assert Bait.objects.get(club=club, key="mine").unit == "L"


def test_the_example_shop_comes_goes_and_comes_again_by_undo(world: World, club: Club) -> None:
    here = f"/desk/shops/{club.slug}/"
    body = pressed(world.secretary, here, "example")
    assert "invented prices" in body
    assert Pack.objects.filter(shop__club=club).count() == len(example_lines())
    body = pressed(world.secretary, here, "example-away")
    assert not Shop.objects.filter(club=club).exists()
    assert Bait.objects.filter(club=club).count() == len(USUAL_BAITS)
    assert '<input type="hidden" name="do" value="example">' in body
    assert ">Undo</button>" in body
    for _time in range(2):
        shop_example_add(world.secretary, club=club)
    assert Shop.objects.get(club=club).key == EXAMPLE_KEY
