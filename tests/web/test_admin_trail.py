"""What the site's keeper changes is in the club's trail, so that no order's page misses it."""

from __future__ import annotations

from typing import Any

import pytest
from django.contrib import admin
from django.test import Client
from django.urls import reverse

from bait.models import Bait, Pack, Shop
from bait.reads.order_inputs import is_stale
from bait.reads.orders import orders_seen
from matches.admin_base import ReadOnly, Trailed
from matches.models import AuditEntry, Club, Person
from tests.big_club import big_club_make
from tests.clients import signed_in


@pytest.fixture(autouse=True)
def without_a_second_factor(settings: Any) -> None:
    """That it is asked for is tried in its own file."""
    settings.KEEPERS_SECOND_FACTOR = False


@pytest.fixture
def club(db: None) -> Any:
    return big_club_make(members=3, matches=1)


@pytest.fixture
def keeper(club: Any) -> Client:
    club.outsider.is_staff = club.outsider.is_superuser = True
    club.outsider.save()
    return signed_in(club.outsider)


def page(model: Any, name: str, *args: Any) -> str:
    return reverse(f"admin:{model._meta.app_label}_{model._meta.model_name}_{name}", args=args)


def stale(club: Any) -> bool:
    order = orders_seen().get(team=club.alders, match=club.match)
    assert order.placed is not None
    return is_stale(order, version=order.placed)


def verbs(club: Club) -> list[str]:
    found = AuditEntry.objects.filter(club=club, verb__startswith="admin.").order_by("pk")
    return list(found.values_list("verb", flat=True))


def pack_form(pack: Pack, **changes: Any) -> dict[str, Any]:
    return {
        "shop": pack.shop_id,
        "bait": pack.bait_id,
        "key": pack.key,
        "amount": pack.amount,
        "unit": pack.unit,
        "price_pence": pack.price_pence,
        "breaks-TOTAL_FORMS": 0,
        "breaks-INITIAL_FORMS": 0,
        **changes,
    }


def soil(club: Any) -> Pack:
    return Pack.objects.get(shop__key="reel", bait__key="soil")


def test_who_may_change_a_thing_of_a_club_leaves_it_in_the_trail() -> None:
    ours = [
        (model, keeper)
        for model, keeper in admin.site._registry.items()
        if model._meta.app_label in ("matches", "bait")
    ]
    assert [m for m, k in ours if not isinstance(k, ReadOnly | Trailed)] == [Person]


def test_a_price_changed_by_the_keeper_makes_the_order_stale(club: Any, keeper: Client) -> None:
    assert not stale(club)
    pack = soil(club)
    sent = pack_form(pack, price_pence=1)
    assert keeper.post(page(Pack, "change", pack.pk), sent).status_code == 302
    assert stale(club)
    row = AuditEntry.objects.get(verb="admin.changed")
    assert (row.club, row.person, row.subject) == (club.club, club.outsider, f"pack {pack.pk}")
    assert row.detail["said"] == [{"changed": {"fields": ["Price pence"]}}]


def test_a_pack_that_the_keeper_adds_makes_the_order_stale(club: Any, keeper: Client) -> None:
    assert not stale(club)
    sent = pack_form(soil(club), key="soil-cheap", amount=2, price_pence=1)
    assert keeper.post(page(Pack, "add"), sent).status_code == 302
    assert stale(club)
    assert verbs(club.club) == ["admin.added"]


@pytest.mark.parametrize("many", [False, True], ids=["one", "from the list"])
def test_what_the_keeper_deletes_makes_the_order_stale(
    club: Any, keeper: Client, many: bool
) -> None:
    pack = soil(club)
    sent = pack_form(pack, key="soil-cheap", amount=2, price_pence=1)
    keeper.post(page(Pack, "add"), sent)
    assert stale(club)
    cheap = Pack.objects.get(key="soil-cheap")
    if many:
        address = page(Pack, "changelist")
        sent = {"action": "delete_selected", "_selected_action": [cheap.pk], "post": "yes"}
    else:
        address, sent = page(Pack, "delete", cheap.pk), {"post": "yes"}
    assert keeper.post(address, sent).status_code == 302
    assert not Pack.objects.filter(pk=cheap.pk).exists()
    assert not stale(club)
    assert verbs(club.club) == ["admin.added", "admin.deleted"]


def test_both_clubs_learn_of_what_is_moved_from_one_to_the_other(club: Any, keeper: Client) -> None:
    bait = Bait.objects.create(club=club.club, key="worm", name="Worm", kind="animal", unit="pint")
    sent = {
        "club": club.other_club.pk,
        "key": bait.key,
        "name": bait.name,
        "kind": bait.kind,
        "unit": bait.unit,
        "family": bait.family,
    }
    assert keeper.post(page(Bait, "change", bait.pk), sent).status_code == 302
    assert (verbs(club.club), verbs(club.other_club)) == (["admin.moved_away"], ["admin.changed"])


def test_a_refused_form_leaves_nothing_in_the_trail(club: Any, keeper: Client) -> None:
    pack = soil(club)
    sent = pack_form(pack, price_pence="dear")
    assert keeper.post(page(Pack, "change", pack.pk), sent).status_code == 200
    assert verbs(club.club) == []


def test_a_club_added_by_a_slip_can_be_deleted_and_a_changed_one_is_in_its_trail(
    club: Any, keeper: Client
) -> None:
    teams = {"teams-TOTAL_FORMS": 0, "teams-INITIAL_FORMS": 0}
    sent = {"name": "Slip", "slug": "slip", "currency": "GBP", **teams}
    assert keeper.post(page(Club, "add"), sent).status_code == 302
    slip = Club.objects.get(slug="slip")
    assert keeper.post(page(Club, "delete", slip.pk), {"post": "yes"}).status_code == 302
    assert not Club.objects.filter(slug="slip").exists()
    kept = club.club
    sent = {"name": kept.name, "slug": kept.slug, "currency": "EUR", **teams}
    assert keeper.post(page(Club, "change", kept.pk), sent).status_code == 302
    assert verbs(kept) == ["admin.changed"]
    assert stale(club)


def test_a_row_within_a_form_counts_as_a_change_of_what_it_is_in(club: Any, keeper: Client) -> None:
    pack = soil(club)
    sent = pack_form(
        pack,
        **{
            "breaks-TOTAL_FORMS": 1,
            "breaks-0-pack": pack.pk,
            "breaks-0-from_packs": 2,
            "breaks-0-price_pence": 1,
        },
    )
    assert not stale(club)
    assert keeper.post(page(Pack, "change", pack.pk), sent).status_code == 302
    assert stale(club)
    assert Shop.objects.get(key="reel").packs.filter(breaks__price_pence=1).exists()
