"""The spare that is learnt from what came back, as each role meets it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from bait.models import Order, Plan
from bait.writes.orders import order_version_make
from matches.models import (
    AuditEntry,
    Entry,
    Match,
    WorkRequest,
    WorkState,
)
from tests.clients import signed_in
from tests.web.bait_season import earlier, matches_before, one_match, spare_address


@pytest.fixture
def season(world: Any) -> Callable[[int], None]:
    """So many matches of two bags, of whose 6 pints half a pint came back each."""

    return lambda matches: matches_before(world, matches)


def test_the_spare_is_learnt_from_what_came_back_and_taken_in_one_tap(
    world: Any, season: Callable[[int], None]
) -> None:
    season(5)
    address = f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/order/"
    client = signed_in(world.captain)
    page = client.get(address).content.decode()
    # 5.5 of the 5 pints planned: 10 % more.
    assert "The plans have 0 to 20 % spare now." in page
    assert "Suggested: 10 %." in page
    assert "10 % would have been enough for 10 of 10 baits in the bags" in page
    said = client.post(address, {"do": "spare", "percent": "10"}, follow=True).content.decode()
    assert "2 plans have 10 % spare now. The order is being worked out again." in said
    now = Plan.objects.filter(entry__match=world.match)
    assert {(plan.spare_percent, plan.version) for plan in now} == {(10, 2)}
    order_version_make(WorkRequest.objects.get(state=WorkState.WAITING).pk)
    page = client.get(address).content.decode()
    assert "Every plan has 10 % spare now." in page
    assert 'name="percent"' not in page
    assert AuditEntry.objects.get(verb="plans.spare_set").detail["percent"] == 10


def test_too_few_matches_leave_the_usual_spare_and_say_so(
    world: Any, season: Callable[[int], None]
) -> None:
    season(2)
    body = signed_in(world.captain).get(spare_address(world)).json()
    assert (body["percent"], body["learnt"], body["matches"], body["bags"]) == (10, False, 2, 4)
    assert "common practice, no source" in body["why"]


def test_bait_of_a_bag_that_did_not_come_back_counts_as_used_up(
    world: Any, season: Callable[[int], None]
) -> None:
    season(5)
    hemp = [{"bait": "hemp", "amount": "1", "unit": "pint"}]
    for order in Order.objects.filter(placed__isnull=False):
        version = order.placed
        assert version is not None
        member = version.inputs["demands"][0]["member"]
        version.inputs["demands"] += [{**hemp[0], "member": member}]
        version.save()
    body = signed_in(world.captain).get(spare_address(world)).json()
    # The caster needed 10 %; the hemp whatever was in the bag, which is 20 %.
    assert (body["percent"], body["bags"], body["emptied"]) == (20, 15, 5)


def test_an_old_page_takes_no_members_new_spare_back(
    world: Any, season: Callable[[int], None]
) -> None:
    season(0)
    address = f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/order/"
    client = signed_in(world.captain)
    page = client.get(address).content.decode()
    mark = page.partition('name="mark" value="')[2].partition('"')[0]
    assert client.get(spare_address(world)).json()["mark"] == mark
    Plan.objects.filter(entry=world.entries["Maud"]).update(spare_percent=30)
    sent = {"percent": 10, "mark": mark}
    said = client.post(address, {**sent, "do": "spare"}, follow=True).content.decode()
    assert "was changed after you opened the page, and nothing is changed now" in said
    put = client.put(spare_address(world), sent, content_type="application/json")
    assert put.status_code == 409
    assert set(Plan.objects.values_list("spare_percent", flat=True)) == {20, 30}


@pytest.mark.parametrize("why", ["called off", "absent", "withdrawn"])
def test_a_bag_nobody_fished_with_teaches_no_spare(
    world: Any, season: Callable[[int], None], why: str
) -> None:
    season(5)
    for days in (70, 77):
        match = earlier(world, days, back="6")
        if why == "called off":
            Match.objects.filter(pk=match.pk).update(called_off="Flood")
        else:
            Entry.objects.filter(match=match).update(status=why)
    body = signed_in(world.captain).get(spare_address(world)).json()
    assert (body["percent"], body["matches"], body["bags"]) == (10, 5, 10)


@pytest.mark.parametrize(("who", "status"), [("captain", 200), ("member", 403)])
def test_only_who_orders_takes_the_spare(
    world: Any, season: Callable[[int], None], who: str, status: int
) -> None:
    season(0)
    client = signed_in(getattr(world, who))
    assert client.get(spare_address(world)).status_code == status
    answer = client.put(spare_address(world), {"percent": 15}, content_type="application/json")
    assert answer.status_code == status
    spares = set(Plan.objects.values_list("spare_percent", flat=True))
    assert spares == ({15} if status == 200 else {0, 20})


@pytest.mark.parametrize("percent", [-1, 101, "ten", None, True, 1.5])
def test_a_spare_that_is_none_changes_no_plan(
    world: Any, season: Callable[[int], None], percent: Any
) -> None:
    season(0)
    client = signed_in(world.captain)
    sent = client.put(spare_address(world), {"percent": percent}, content_type="application/json")
    assert sent.status_code == 400
    assert set(Plan.objects.values_list("version", flat=True)) == {1}


def test_the_spare_of_a_placed_order_stays(world: Any) -> None:
    fished = one_match(world)
    client = signed_in(fished.captain)
    sent = client.put(spare_address(fished), {"percent": 40}, content_type="application/json")
    assert sent.status_code == 409
    assert set(Plan.objects.values_list("spare_percent", flat=True)) == {10}
