"""What became of the bait and what it cost, as each role meets them."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from bait.models import Order
from matches.models import (
    Bulletin,
    Fact,
    FactKind,
    Match,
)
from tests.clients import signed_in
from tests.web.bait_season import (
    TODAY,
    earlier,
    fed,
    matches_before,
    one_match,
    spare_address,
)


@pytest.fixture
def fished(world: Any) -> Any:
    return one_match(world)


def truth_of(world: Any, who: str) -> tuple[int, str]:
    address = f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/truth/"
    answer = signed_in(getattr(world, who)).get(address)
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
    assert "Flood on the meadow" in signed_in(getattr(world, who)).get(path).content.decode()


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
    (bag,) = signed_in(fished.member).get(path).json()["bags"]
    assert bag["logged_seconds"] is None


def test_a_single_note_is_not_called_notes_of_the_whole_match(fished: Any) -> None:
    Fact.objects.filter(kind=FactKind.FEED_NOTE).delete()
    fed(fished, 120, "0.5")
    page = truth_of(fished, "member")[1]
    assert "Noted at 12:00 only: the phone was put away the rest" in page
    assert "100 in 100" not in page


def test_the_api_says_the_same_in_exact_amounts(fished: Any) -> None:
    path = f"/api/v1/teams/{fished.alders.pk}/matches/{fished.match.pk}/bait-truth"
    body = signed_in(fished.member).get(path).json()
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
    (team,) = signed_in(fished.captain).get(path).json()["team"]
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
    client = signed_in(getattr(world, who))
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


def test_the_pages_ask_the_database_as_often_for_five_matches_as_for_two(world: Any) -> None:
    matches_before(world, 2)
    addresses = [
        spare_address(world),
        f"/desk/teams/{world.alders.pk}/bait-cost/",
        f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/truth/",
    ]

    def counts() -> list[int]:
        found = []
        for address in addresses:
            client = signed_in(world.captain)
            with CaptureQueriesContext(connection) as caught:
                assert client.get(address).status_code == 200
            found.append(len(caught))
        return found

    before = counts()
    for days in (70, 77, 84):
        earlier(world, days, back="1")
    assert counts() == before
    assert max(before) <= 16
