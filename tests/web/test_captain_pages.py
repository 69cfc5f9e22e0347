"""The members' and captains' pages over HTTP, as each role meets them."""

from __future__ import annotations

from typing import Any

import pytest

from bait.models import Order, Plan
from bait.writes.orders import order_ask, order_version_make
from matches.models import WorkRequest
from tests.clients import read_any, signed_in
from tests.ordered import planned, worked_out


def form(version: int = 0, do: str = "save", **changes: str) -> dict[str, str]:
    return {
        "do": do,
        "version": str(version),
        "spare_percent": "0",
        "note": "",
        "stage-0-kind": "feed",
        "stage-0-line": "long",
        "stage-0-start_minute": "0",
        "stage-0-end_minute": "300",
        "stage-0-every_seconds": "",
        "stage-0-note": "",
        "stage-0-feed-0-bait": "caster",
        "stage-0-feed-0-amount": "2,5",
        "stage-0-feed-0-unit": "pint",
        **changes,
    }


@pytest.fixture
def plan_page(world: Any) -> str:
    return f"/desk/plans/{world.match.pk}/"


@pytest.fixture
def team_page(world: Any) -> str:
    return f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/"


@pytest.fixture
def order_page(team_page: str) -> str:
    return f"{team_page}order/"


def test_a_plan_is_saved_from_the_page_and_shown_with_its_limits(
    world: Any, plan_page: str
) -> None:
    client = signed_in(world.member)
    assert client.post(plan_page, form()).status_code == 302
    status, text = read_any(client, plan_page)
    assert status == 200
    assert "1.43 of 2.5 L" in text  # 2.5 pints are 1.420653125 L, rounded up
    assert "Plan saved, version 1." in text


def test_rows_come_and_go_without_saving_or_losing_what_was_typed(
    world: Any, plan_page: str
) -> None:
    client = signed_in(world.member)
    text = client.post(plan_page, form(do="add-feed-0")).content.decode()
    assert 'name="stage-0-feed-1-bait"' in text and 'value="2,5"' in text
    text = client.post(plan_page, form(do="add-stage")).content.decode()
    assert 'name="stage-1-kind"' in text and "not saved yet" in text
    text = client.post(plan_page, form(do="drop-feed-0-0")).content.decode()
    assert 'name="stage-0-feed-0-bait"' not in text
    text = client.post(plan_page, form(do="drop-stage-0")).content.decode()
    assert 'name="stage-0-kind"' not in text
    assert not Plan.objects.exists()


@pytest.mark.parametrize("do", ["drop-stage-9", "add-feed-9", "drop-feed-0-9", "drop-", "x", ""])
def test_a_row_that_is_not_there_changes_nothing(world: Any, plan_page: str, do: str) -> None:
    answer = signed_in(world.member).post(plan_page, form(do=do))
    assert answer.status_code == 200
    assert not Plan.objects.exists()


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("stage-0-feed-0-amount", "-1", "above zero"),
        ("stage-0-feed-0-amount", "99999", "With this the plan needs over 1000 L"),
        ("stage-0-feed-0-unit", "kg", "does not fit"),
        ("stage-0-feed-0-unit", "bucket", "Choose one of the list."),
        ("stage-0-feed-0-bait", "bloodworm", "has no bait"),
        ("stage-0-end_minute", "soon", "Write a whole number here."),
        ("stage-0-end_minute", "-20", "End the stage after its start."),
        ("stage-0-every_seconds", "1", "more than 5000 throws"),
        ("stage-0-kind", "later", "Choose one of the list."),
        ("spare_percent", "900", "This must be from 0 to 100."),
    ],
)
def test_what_is_wrong_is_said_beside_its_field_and_nothing_is_saved(
    world: Any, plan_page: str, field: str, value: str, words: str
) -> None:
    answer = signed_in(world.member).post(plan_page, form(**{field: value}))
    assert answer.status_code == 200
    text = answer.content.decode()
    assert words in text
    assert "Nothing is saved yet" in text
    assert not Plan.objects.exists()


def test_a_change_meanwhile_keeps_what_was_typed_and_offers_both(
    world: Any, plan_page: str
) -> None:
    client = signed_in(world.member)
    client.post(plan_page, form())
    signed_in(world.captain).post(
        f"{plan_page}entries/{world.entries['Wilmot'].pk}/", form(1, note="By the captain")
    )
    mine = form(1, **{"stage-0-feed-0-amount": "3.3"})
    text = client.post(plan_page, mine).content.decode()
    assert "This plan was changed meanwhile." in text
    assert 'value="3.3"' in text and "Version 2 is by Maud Ferris." in text
    assert Plan.objects.get().note == "By the captain"
    over = client.post(plan_page, {**mine, "do": "save-over", "newer": "2"})
    assert over.status_code == 302
    plan = Plan.objects.get()
    assert (plan.version, str(plan.stages.get().feeds.get().amount)) == (3, "3.3000")


def test_the_next_plan_can_start_from_the_last(world: Any, plan_page: str) -> None:
    import datetime as dt

    from matches.models import Entry, Match

    client = signed_in(world.member)
    client.post(plan_page, form(note="Caster over hemp"))
    later = Match.objects.get(pk=world.match.pk)
    later.pk, later.slug, later.date = None, "july-open", later.date + dt.timedelta(days=30)
    later.save()
    Entry.objects.create(match=later, angler=world.entries["Wilmot"].angler, team=world.alders)
    address = f"/desk/plans/{later.pk}/"
    assert "Start from my last plan" in read_any(client, address)[1]
    text = client.post(address, {"do": "from-last", "version": "0"}).content.decode()
    assert "Caster over hemp" in text and 'value="2.5"' in text
    assert 'name="version" value="0"' in text


def test_the_team_page_says_who_is_over_and_who_is_missing(world: Any, team_page: str) -> None:
    planned(world, "Wilmot", caster="7")
    text = read_any(signed_in(world.captain), team_page)[1]
    assert "1 member has no plan yet" in text
    assert "Animal bait: 1.48 L over." in text  # 7 pints are 3.97782875 L of 2.5
    assert "Maud Ferris" in text and "Odette Marl" not in text


def test_an_order_is_asked_watched_read_and_placed(world: Any, order_page: str) -> None:
    planned(world, "Maud", caster="2.5")
    planned(world, "Wilmot", caster="7")
    client = signed_in(world.captain)
    assert client.post(order_page, {"do": "ask"}).status_code == 302
    text = read_any(client, order_page)[1]
    work = WorkRequest.objects.get()
    assert f'data-work="/api/v1/work/{work.pk}"' in text
    assert '<noscript><meta http-equiv="refresh"' in text
    order_version_make(work.pk)
    text = read_any(client, order_page)[1]
    # 9.5 pints: ten packs at 3.80 are cheaper than nine and a half could be.
    assert "£38.00" in text and "proved least cost" in text
    assert "10 × Caster, 1 pint" in text
    assert "data-work" not in text
    assert client.post(order_page, {"do": "place", "version": "1"}).status_code == 302
    assert "Version 1 counts as placed." in read_any(client, order_page)[1]
    late = signed_in(world.secretary)
    late.post(order_page, {"do": "place", "version": "1"})
    assert "The order was placed already." in read_any(late, order_page)[1]


def test_a_stale_order_says_so_and_what_to_do(world: Any, order_page: str) -> None:
    planned(world, "Wilmot", caster="7")
    worked_out(world)
    planned(world, "Maud", caster="1")
    text = read_any(signed_in(world.captain), order_page)[1]
    assert "changed since version 1 was worked out" in text


def test_the_teams_page_says_that_the_order_is_out_of_date(world: Any, team_page: str) -> None:
    planned(world, "Wilmot", caster="7")
    worked_out(world)
    client = signed_in(world.captain)
    assert "out of date" not in read_any(client, team_page)[1]
    planned(world, "Maud", caster="1")
    text = read_any(client, team_page)[1]
    assert "out of date" in text
    assert "changed since: work it out again before you place it." in text


def test_a_failed_order_names_the_bait_and_the_member(world: Any, order_page: str) -> None:
    planned(world, "Wilmot", caster="7")
    _order, work = order_ask(world.captain, team=world.alders, match=world.match)
    world.baits["caster"].unit = "kg"
    world.baits["caster"].save()
    order_version_make(work.pk)
    text = read_any(signed_in(world.captain), order_page)[1]
    assert "The order could not be worked out." in text
    assert "Wilmot Crane: " in text


@pytest.mark.parametrize("version", ["9", "", "x", "²", "9" * 30])
def test_a_version_that_is_not_there_is_not_placed(
    world: Any, order_page: str, version: str
) -> None:
    planned(world, "Wilmot", caster="7")
    worked_out(world)
    client = signed_in(world.captain)
    assert client.post(order_page, {"do": "place", "version": version}).status_code == 404
    assert Order.objects.get().placed is None


def test_asking_without_any_plan_says_to_ask_for_plans(world: Any, order_page: str) -> None:
    client = signed_in(world.captain)
    client.post(order_page, {"do": "ask"})
    assert "Nobody of the team has planned any bait yet" in read_any(client, order_page)[1]


@pytest.mark.parametrize("which", ["team_page", "order_page"])
def test_queries_do_not_grow_with_the_team(
    world: Any, which: str, request: pytest.FixtureRequest, django_assert_max_num_queries: Any
) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    from matches.models import Angler, Entry

    planned(world, "Maud", caster="2")
    worked_out(world)
    client, address = signed_in(world.captain), request.getfixturevalue(which)
    read_any(client, address)
    with CaptureQueriesContext(connection) as few:
        read_any(client, address)
    for n in range(20):
        angler = Angler.objects.create(club=world.club, name=f"Angler {n}")
        world.entries[f"A{n}"] = Entry.objects.create(
            match=world.match, angler=angler, team=world.alders
        )
        planned(world, f"A{n}", caster="2")
    worked_out(world)
    read_any(client, address)
    with CaptureQueriesContext(connection) as many:
        read_any(client, address)
    assert len(many) == len(few)
    # What came back of earlier bags is one more on the page of an order that is not placed.
    assert len(few) <= (13 if which == "order_page" else 12)
