"""What became of the bait, what it cost, and the spare, as each role meets them."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from bait.models import Order, Plan
from bait.writes.left_over import LeftBack, leftovers_put
from bait.writes.orders import order_ask, order_place, order_version_make
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches.models import (
    AuditEntry,
    Bulletin,
    Entry,
    Fact,
    FactKind,
    Match,
    MatchState,
    WorkRequest,
    WorkState,
)

TODAY = dt.date(2026, 7, 1)


def signed_in(world: Any, who: str) -> Client:
    client = Client()
    client.force_login(getattr(world, who))
    return client


def planned(world: Any, entry: Entry, amount: str, *, spare: int = 10) -> None:
    feeds = [{"bait": "caster", "amount": amount, "unit": "pint"}]
    stage = {"kind": "feed", "end_minute": 300, "feeds": feeds}
    raw = {"version": 0, "spare_percent": spare, "stages": [stage]}
    plan_save(world.secretary, entry=entry, content=plan_content_parse(raw))


def placed(world: Any, match: Match) -> Order:
    order, work = order_ask(world.captain, team=world.alders, match=match)
    version = order_version_make(work.pk)
    assert version is not None
    return order_place(world.captain, order=order, version=version)


def came_back(world: Any, match: Match, entry: Entry, amount: str) -> None:
    row = LeftBack(entry.angler, entry.angler, world.baits["caster"], Decimal(amount), "fresh")
    leftovers_put(world.captain, team=world.alders, match=match, rows=[row], today=TODAY)


def fed(world: Any, minute: int, amount: str) -> None:
    n = Fact.objects.count() + 1
    Fact.objects.create(
        club=world.club,
        match=world.match,
        author=world.member,
        device=uuid.UUID(int=1),
        seq=n,
        cseq=n,
        kind=FactKind.FEED_NOTE,
        peg="4",
        recorded_at=world.match.start_at + dt.timedelta(minutes=minute),
        clock_offset_ms=0,
        body={"bait": "caster", "amount": amount, "unit": "pint"},
        digest="",
    )


@pytest.fixture
def fished(world: Any) -> Any:
    return one_match(world)


def one_match(world: Any) -> Any:
    """Maud planned 2 pints and Wilmot 4, each with a tenth spare; 7 were bought.

    Wilmot noted 2 of his in the first half of the match, and 0.4 came back.
    """
    planned(world, world.entries["Maud"], "2")
    planned(world, world.entries["Wilmot"], "4")
    placed(world, world.match)
    for minute in (5, 60, 120):
        fed(world, minute, "0.5")
    fed(world, 130, "0.5")
    came_back(world, world.match, world.entries["Wilmot"], "0.4")
    return world


def truth_of(world: Any, who: str) -> tuple[int, str]:
    address = f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/truth/"
    answer = signed_in(world, who).get(address)
    return answer.status_code, answer.content.decode()


def test_a_member_reads_what_of_their_own_bag_is_not_accounted_for(fished: Any) -> None:
    status, page = truth_of(fished, "member")
    assert status == 200
    for words in ("4 pints", "4.4 pints", "2 pints", "0.4 pints"):
        assert words in page
    # 4.4 in the bag, 2 fed, 0.4 back.
    assert "2 pints are not accounted for." in page
    assert "the phone was put away the rest" in page
    assert "Maud Ferris</h2>" not in page


def test_the_captain_sees_the_team_and_what_nobody_said_is_no_nought(fished: Any) -> None:
    page = truth_of(fished, "captain")[1]
    assert "7 × 1 pint, Hobday&#x27;s Hut" in page or "7 × 1 pint, Hobday" in page
    assert "2 pints, as far as 1 of 2 bags say" in page
    assert "0.4 pints, as far as 1 of 3 bags say" in page
    maud = page[page.index("Maud Ferris</h2>") : page.index("Wilmot Crane</h2>")]
    assert "No feed notes of theirs" in maud
    assert "Nobody said what was left of this bag." in maud
    assert ">0 pints<" not in maud


@pytest.mark.parametrize(
    ("who", "address"),
    [
        ("captain", "teams/{team}/matches/{match}/truth/"),
        ("member", "plans/{match}/suggestion/"),
        ("secretary", "matches/{match}/pegs/even/"),
    ],
)
def test_a_match_called_off_is_told_on_its_pages(world: Any, who: str, address: str) -> None:
    Match.objects.filter(pk=world.match.pk).update(called_off="Flood on the meadow")
    path = f"/desk/{address.format(team=world.alders.pk, match=world.match.pk)}"
    assert "Flood on the meadow" in signed_in(world, who).get(path).content.decode()


@pytest.mark.parametrize("path", ["matches/{match}/truth/", "bait-cost/"])
@pytest.mark.parametrize(
    ("who", "status"),
    [
        ("captain", 200),
        ("secretary", 200),
        ("member", 200),
        ("rival", 403),
        ("weigher", 403),
        ("outsider", 404),
    ],
)
def test_bait_is_the_teams_own_affair(fished: Any, path: str, who: str, status: int) -> None:
    address = f"/teams/{fished.alders.pk}/{path.format(match=fished.match.pk)}"
    assert signed_in(fished, who).get(f"/desk{address}").status_code == status
    api = address.replace("/truth/", "/bait-truth").rstrip("/")
    assert signed_in(fished, who).get(f"/api/v1{api}").status_code == status


def test_a_note_whose_body_was_erased_is_left_out(fished: Any) -> None:
    first = Fact.objects.filter(kind=FactKind.FEED_NOTE).order_by("cseq").first()
    assert first is not None
    Fact.objects.filter(pk=first.pk).update(body={})
    status, page = truth_of(fished, "member")
    assert status == 200
    # 4.4 in the bag, three notes of a half left, 0.4 back.
    assert "2.5 pints are not accounted for." in page


def test_notes_of_a_wrong_clock_are_not_taken_for_a_whole_day(fished: Any) -> None:
    Fact.objects.filter(kind=FactKind.FEED_NOTE).delete()
    fed(fished, -3000, "0.5")
    fed(fished, 30000, "0.5")
    page = truth_of(fished, "member")[1]
    assert "None of the notes lies within the match: was the phone’s clock right?" in page
    path = f"/api/v1/teams/{fished.alders.pk}/matches/{fished.match.pk}/bait-truth"
    (bag,) = signed_in(fished, "member").get(path).json()["bags"]
    assert bag["logged_seconds"] is None


def test_a_single_note_is_not_called_notes_of_the_whole_match(fished: Any) -> None:
    Fact.objects.filter(kind=FactKind.FEED_NOTE).delete()
    fed(fished, 120, "0.5")
    page = truth_of(fished, "member")[1]
    assert "Noted at 12:00 only: the phone was put away the rest" in page
    assert "100 in 100" not in page


def test_the_api_says_the_same_in_exact_amounts(fished: Any) -> None:
    path = f"/api/v1/teams/{fished.alders.pk}/matches/{fished.match.pk}/bait-truth"
    body = signed_in(fished, "member").get(path).json()
    assert (body["ordered"], body["team"]) == (True, [])
    (bag,) = body["bags"]
    assert (bag["member"], bag["logged_seconds"]) == ("Wilmot Crane", [0, 7800])
    assert bag["baits"] == [
        {
            "bait": "caster",
            "name": "Caster",
            "unit": "pint",
            "planned": "4",
            "had": "4.4",
            "unnoted": "0",
            "fed": "2",
            "left": "0.4",
            "missing": "2",
            "adds_up": False,
        }
    ]
    (team,) = signed_in(fished, "captain").get(path).json()["team"]
    assert team["had"] == "7"
    assert team["fed"] == {"amount": "2", "known": 1, "of": 2}


def published(world: Any, *weights: tuple[str, int, str], away: str = "") -> None:
    body = {
        "weight_unit": "g",
        "sections": [
            {
                "label": "A",
                "entries": [
                    {
                        "entry": world.entries[who].pk,
                        "weight": None if who == away else weight,
                        "place": place,
                        "status": "absent" if who == away else "entered",
                    }
                    for who, weight, place in weights
                ],
            }
        ],
    }
    Bulletin.objects.create(
        match=world.match, number=1, body=body, digest="", published_by=world.secretary
    )


def cost_of(world: Any, who: str, monkeypatch: pytest.MonkeyPatch) -> tuple[dict[str, Any], str]:
    monkeypatch.setattr("django.utils.timezone.localdate", lambda: TODAY)
    client = signed_in(world, who)
    body = client.get(f"/api/v1/teams/{world.alders.pk}/bait-cost").json()
    return body, client.get(f"/desk/teams/{world.alders.pk}/bait-cost/").content.decode()


def test_bait_is_divided_by_kilos_and_points_and_a_blank_has_a_dash(
    fished: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    published(fished, ("Wilmot", 3500, "1"), ("Maud", 0, "3"), ("Perrin", 2000, "2"))
    body, page = cost_of(fished, "captain", monkeypatch)
    # 7 packs at 4.20 are 29.40, of which 2.2 of 6.6 pints are Maud's.
    assert body["team"] == {
        "matches": 1,
        "cost": "29.40",
        "grams": 3500,
        "points": "4",
        "per_kilo": "8.40",
        "per_point": "7.35",
    }
    maud, wilmot = body["members"]
    assert (maud["cost"], maud["per_kilo"], maud["per_point"]) == ("9.80", None, "9.80")
    assert (wilmot["cost"], wilmot["per_kilo"], wilmot["per_point"]) == ("19.60", "5.60", "6.53")
    assert "— (nothing weighed, 1 match)" in page
    own, own_page = cost_of(fished, "member", monkeypatch)
    assert own["team"] is None
    assert [row["member"] for row in own["members"]] == ["Wilmot Crane"]
    assert "Maud" not in own_page


def test_who_stayed_away_has_no_section_points_whichever_place_a_match_gives_them(
    fished: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Of a scheme by which the absent are as good as last.
    published(fished, ("Wilmot", 0, "3"), ("Maud", 500, "1"), ("Perrin", 0, "2"), away="Wilmot")
    _maud, wilmot = cost_of(fished, "captain", monkeypatch)[0]["members"]
    assert (wilmot["points"], wilmot["per_point"], wilmot["grams"]) == ("0", None, 0)


def test_bait_that_was_not_bought_alone_is_not_called_bought(fished: Any) -> None:
    version = Order.objects.get().placed
    assert version is not None
    version.inputs["stock"] = [{"bait": "caster", "amount": "3", "unit": "pint"}]
    version.save()
    page = " ".join(truth_of(fished, "captain")[1].split())
    assert '<span class="name">Had</span>' in page and ">Bought<" not in page
    assert "10 pints" in page and "3 pints from the larder" in page


def test_a_match_without_a_result_is_named_and_counts_nowhere(
    fished: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    body, page = cost_of(fished, "captain", monkeypatch)
    assert body["team"]["matches"] == 0
    assert body["members"] == []
    assert "Left out, as no result is published: June Open." in page


def earlier(world: Any, days: int, *, back: str) -> Match:
    """A match so long before, for which both planned 5 pints with 20 % spare."""
    match = Match.objects.create(
        club=world.club,
        venue=world.venue,
        name=f"Before {days}",
        slug=f"before-{days}",
        date=world.match.date - dt.timedelta(days=days),
        start_at=world.match.start_at - dt.timedelta(days=days),
        end_at=world.match.end_at - dt.timedelta(days=days),
        state=MatchState.CONFIRMED,
    )
    for first in ("Maud", "Wilmot"):
        angler = world.entries[first].angler
        entry = Entry.objects.create(match=match, angler=angler, team=world.alders)
        planned(world, entry, "5", spare=20)
        came_back(world, match, entry, back)
    placed(world, match)
    return match


@pytest.fixture
def season(world: Any) -> Callable[[int], None]:
    """So many matches of two bags, of whose 6 pints half a pint came back each."""

    return lambda matches: matches_before(world, matches)


def matches_before(world: Any, matches: int) -> None:
    for n in range(matches):
        earlier(world, 7 * (n + 1), back="0.5")
    for first, spare in (("Maud", 0), ("Wilmot", 20)):
        planned(world, world.entries[first], "4", spare=spare)


def spare_address(world: Any) -> str:
    return f"/api/v1/teams/{world.alders.pk}/matches/{world.match.pk}/order/spare"


def test_the_spare_is_learnt_from_what_came_back_and_taken_in_one_tap(
    world: Any, season: Callable[[int], None]
) -> None:
    season(5)
    address = f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/order/"
    client = signed_in(world, "captain")
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
    body = signed_in(world, "captain").get(spare_address(world)).json()
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
    body = signed_in(world, "captain").get(spare_address(world)).json()
    # The caster needed 10 %; the hemp whatever was in the bag, which is 20 %.
    assert (body["percent"], body["bags"], body["emptied"]) == (20, 15, 5)


def test_an_old_page_takes_no_members_new_spare_back(
    world: Any, season: Callable[[int], None]
) -> None:
    season(0)
    address = f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/order/"
    client = signed_in(world, "captain")
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
    body = signed_in(world, "captain").get(spare_address(world)).json()
    assert (body["percent"], body["matches"], body["bags"]) == (10, 5, 10)


@pytest.mark.parametrize(
    ("who", "status"), [("captain", 200), ("secretary", 200), ("member", 403), ("outsider", 404)]
)
def test_only_who_orders_takes_the_spare(
    world: Any, season: Callable[[int], None], who: str, status: int
) -> None:
    season(0)
    client = signed_in(world, who)
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
    client = signed_in(world, "captain")
    sent = client.put(spare_address(world), {"percent": percent}, content_type="application/json")
    assert sent.status_code == 400
    assert set(Plan.objects.values_list("version", flat=True)) == {1}


def test_the_spare_of_a_placed_order_stays(fished: Any) -> None:
    client = signed_in(fished, "captain")
    sent = client.put(spare_address(fished), {"percent": 40}, content_type="application/json")
    assert sent.status_code == 409
    assert set(Plan.objects.values_list("spare_percent", flat=True)) == {10}


def test_the_pages_ask_the_database_as_often_for_five_matches_as_for_two(
    world: Any, season: Callable[[int], None]
) -> None:
    season(2)
    addresses = [
        spare_address(world),
        f"/desk/teams/{world.alders.pk}/bait-cost/",
        f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/truth/",
    ]

    def counts() -> list[int]:
        found = []
        for address in addresses:
            client = signed_in(world, "captain")
            with CaptureQueriesContext(connection) as caught:
                assert client.get(address).status_code == 200
            found.append(len(caught))
        return found

    before = counts()
    for days in (70, 77, 84):
        earlier(world, days, back="1")
    assert counts() == before
    assert max(before) <= 16
