"""What somebody tries at the bait desk who means no good: refused in words, soon, nothing leaks."""

from __future__ import annotations

import uuid
from fractions import Fraction
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from bait.models import Bait, LarderLot, LotMove, Order, PlanTemplate, ReceivedLine
from bait.reckon.bags import Source, bags_pack
from matches.models import Team
from tests.clients import signed_in
from tests.nul import NUL, no_nul_asked
from tests.ordered import placed, planned
from tests.steps import steps_counted


@pytest.fixture
def order(world: Any) -> Order:
    world.shops["hut"].delivery_fee_pence = 400
    world.shops["hut"].save()
    planned(world, "Maud", caster="2.5")
    planned(world, "Wilmot", caster="7")
    return placed(world)


def brought(**changes: str) -> dict[str, str]:
    typed = {"do": "bring", "key": str(uuid.uuid4()), "bait": "caster", "amount": "1"}
    return {**typed, "unit": "pint", "state": "fresh", "bought_on": "2026-06-19", **changes}


def larder_of(team: Any) -> str:
    return f"/desk/teams/{team.pk}/larder/"


# Input that no form of ours sends --------------------------------------------------------------


@pytest.mark.parametrize(
    "typed",
    [
        {"bought_on": "9999-12-31"},
        {"bought_on": "0001-01-01"},
        {"use_by": "9999-12-31"},
        {"note": NUL},
    ],
)
def test_a_day_without_a_next_and_a_note_no_database_holds_are_no_lot(
    world: Any, typed: dict[str, str]
) -> None:
    with no_nul_asked():
        answer = signed_in(world.captain).post(larder_of(world.alders), brought(**typed))
    assert answer.status_code == 200
    assert 'aria-invalid="true"' in answer.content.decode()
    assert not LarderLot.objects.exists()


def test_a_template_no_database_holds_is_not_kept(world: Any) -> None:
    url = f"/desk/plans/{world.match.pk}/entries/{world.entries['Wilmot'].pk}/"
    stage = {"stage-0-kind": "feed", "stage-0-end_minute": "60"}
    feed = {"stage-0-feed-0-bait": "caster", "stage-0-feed-0-amount": "1"}
    row = {**stage, **feed, "stage-0-feed-0-unit": "pint", "do": "keep-template"}
    client = signed_in(world.captain)
    with no_nul_asked():
        for bad in ({"template": NUL}, {"template": "base", "stage-0-feed-0-bait": NUL}):
            assert client.post(url, {**row, **bad}).status_code == 200
    assert not PlanTemplate.objects.exists()
    client.post(url, {**row, "template": "base"})
    assert PlanTemplate.objects.count() == 1


def test_a_throw_of_a_bait_no_database_holds_is_refused_in_words(world: Any) -> None:
    url = f"/desk/plans/{world.match.pk}/throws/"
    with no_nul_asked():
        answer = signed_in(world.member).post(
            url, {"do": "measure", "throw": "pouch", "bait": NUL, "cup_ml": "250", "throws": "5"}
        )
    assert answer.status_code == 200


def test_a_note_no_database_holds_leaves_an_order_unreceived(world: Any, order: Order) -> None:
    url = f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/order/"
    pack = world.packs["caster"].pk
    sent = {"do": "receive", "version": "1", f"came-{pack}": "10", f"note-{pack}": NUL}
    with no_nul_asked():
        page = signed_in(world.captain).post(url, sent)
    assert 'aria-invalid="true"' in page.content.decode()
    order.refresh_from_db()
    assert order.received_at is None
    assert not ReceivedLine.objects.exists()


def test_unticking_what_no_database_holds_changes_nothing(world: Any, order: Order) -> None:
    url = f"/desk/teams/{order.team_id}/matches/{world.match.pk}/bags/"
    angler = world.entries["Maud"].angler_id
    with no_nul_asked():
        answer = signed_in(world.captain).post(url, {"untick": NUL, "angler": angler})
    assert answer.status_code == 302


@pytest.mark.parametrize("page", ["", "throws/", "mixing/", "statement/"])
def test_a_match_of_a_number_no_database_holds_is_not_there(world: Any, page: str) -> None:
    client = signed_in(world.member)
    assert client.get(f"/desk/plans/{'9' * 30}/{page}").status_code == 404
    assert client.get(f"/api/v1/matches/{'9' * 30}/plan").status_code == 404


# Keys of others --------------------------------------------------------------------------------


def test_the_key_of_another_teams_lot_shows_and_moves_nothing(world: Any) -> None:
    sent = brought(note="ours")
    assert signed_in(world.captain).post(larder_of(world.alders), sent).status_code == 302
    theirs = Team.objects.create(club=world.other_club, name="Larkmill Rovers")
    Bait.objects.create(
        club=world.other_club, key="caster", name="Shell", kind="animal", unit="pint"
    )
    client = signed_in(world.outsider)
    page = client.post(larder_of(theirs), sent, follow=True).content.decode()
    assert "Caster 1 pint" not in page
    assert "used for something else" in page
    assert LotMove.objects.count() == 1


# Files that hold a process ---------------------------------------------------------------------


def test_a_list_of_half_a_million_columns_is_read_in_a_step_or_two_for_each(world: Any) -> None:
    url = f"/desk/shops/{world.club.slug}/hut/list/"
    captain = signed_in(world.captain)
    sent = SimpleUploadedFile("prices.csv", b"a," * 500_000)
    with steps_counted() as steps:
        answer = captain.post(url, {"do": "look", "file": sent})
    assert answer.status_code == 200
    assert "more than 100 columns" in answer.content.decode()
    assert steps.taken < 1_000_000


def filling_took(packs: int) -> int:
    needs = {f"m{n}": {"caster": Fraction((100 + n) * packs, 70_000)} for n in range(50)}
    with steps_counted() as steps:
        bags = bags_pack(needs, sources=[Source("p", "caster", Fraction(1, 3), packs)])
    given = sum((piece.amount for piece in bags.pieces), Fraction(0))
    assert given == sum(mine["caster"] for mine in needs.values())
    assert given + bags.left_over[0].amount == Fraction(packs, 3)
    return steps.taken


def test_bags_of_ten_thousand_packs_are_filled_in_ten_times_the_steps_of_a_thousand() -> None:
    assert filling_took(10_000) < 12 * filling_took(1_000)


def test_a_name_puts_no_line_of_its_own_into_a_calendar(world: Any, order: Order) -> None:
    shop = world.shops["hut"]
    shop.name = "Hut\r\nEND:VEVENT\x0bX\x85Y\u2028Z\x1b[2J;,"
    shop.save()
    url = f"/desk/teams/{order.team_id}/matches/{world.match.pk}/order/calendar.ics"
    text = signed_in(world.captain).get(url).content.decode()
    assert text.splitlines() == text.removesuffix("\r\n").split("\r\n")
    assert text.count("\r\nEND:VEVENT") == 2
    assert "\x1b" not in text
