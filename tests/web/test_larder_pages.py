"""The larder and what is left after a match, over HTTP, as each role meets them."""

from __future__ import annotations

import datetime as dt
import re
import uuid
from decimal import Decimal
from typing import Any

import pytest

from bait.models import LarderLot, LotMove, ThrowSize
from bait.writes.larder import lot_bring
from bait.writes.larder_orders import larder_take_for
from matches.models import Angler, Entry
from tests.clients import read_any, signed_in
from tests.ordered import placed, planned
from tests.web.pushing import fact, outcomes, push

DAY = dt.date(2026, 6, 20)


def bring(world: Any, amount: str = "2", **changes: Any) -> LarderLot:
    kept: dict[str, Any] = {
        "team": world.alders,
        "bait": world.baits["caster"],
        "unit": "pint",
        "state": "fresh",
        "on": dt.date(2026, 6, 18),
        "key": uuid.uuid4(),
    }
    return lot_bring(world.captain, amount=Decimal(amount), **{**kept, **changes})


def logged(world: Any, person: Any, n: int, body: dict[str, Any], **changes: Any) -> str:
    """The n-th fact of the person's phone, through the phone's own road; its id."""
    phone = str(uuid.uuid5(uuid.NAMESPACE_DNS, person.username))
    made = fact(world, n, **{"device": phone, "kind": "feed_note", "body": body, **changes})
    made["id"] = made["id"][:-12] + f"{person.pk:08x}{n:04x}"
    answer = push(person, made, device=phone)
    assert [o["outcome"] for o in outcomes(answer)] == ["accepted"], answer.content
    return str(made["id"])


def fed(world: Any, person: Any, n: int, amount: str, unit: str = "pint", **changes: Any) -> str:
    body = {"bait": "caster", "amount": amount, "unit": unit, "line": "long", "stage": 0}
    return logged(world, person, n, body, **changes)


def form(text: str, do: str, *, within: str = "") -> dict[str, str]:
    """What a form of the page would send, as it stands."""
    start = text.index(within) if within else 0
    found = next(
        body
        for body in re.findall(r"<form.*?</form>", text[start:], re.DOTALL)
        if f'value="{do}"' in body
    )
    sent = {}
    for tag in re.findall(r"<input[^>]*>", found):
        name = re.search(r'name="([^"]*)"', tag)
        value = re.search(r'value="([^"]*)"', tag)
        if name and ('type="radio"' not in tag or "checked" in tag):
            sent[name[1]] = value[1] if value else ""
    for name, options in re.findall(r'<select[^>]*name="([^"]*)"[^>]*>(.*?)</select>', found):
        chosen = re.search(r'value="([^"]*)" selected', options)
        sent[name] = chosen[1] if chosen else ""
    return {**sent, "do": do}


@pytest.fixture
def larder_page(world: Any) -> str:
    return f"/desk/teams/{world.alders.pk}/larder/"


@pytest.fixture
def left_page(world: Any) -> str:
    return f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/left-over/"


@pytest.mark.parametrize(
    ("who", "status", "moves"),
    [
        ("captain", 200, True),
        ("secretary", 200, True),
        ("member", 200, False),
        ("rival", 403, False),
        ("weigher", 403, False),
        ("outsider", 404, False),
    ],
)
def test_the_larder_opens_for_the_teams_people_and_moves_for_its_captain(
    world: Any, larder_page: str, who: str, status: int, moves: bool
) -> None:
    lot = bring(world)
    client = signed_in(getattr(world, who))
    code, text = read_any(client, larder_page)
    assert code == status
    assert ("Take it out" in text) == moves
    sent = {"do": "take", "lot": str(lot.pk), "amount": "1", "key": str(uuid.uuid4())}
    answer = client.post(larder_page, sent)
    assert answer.status_code == (302 if moves else 403 if status == 200 else status)
    lot.refresh_from_db()
    assert lot.amount == (1 if moves else 2)


@pytest.mark.parametrize("who", ["captain", "secretary", "member"])
def test_left_over_is_asked_of_ones_own_bag_and_of_all_by_the_captain(
    world: Any, left_page: str, who: str
) -> None:
    planned(world, "Maud", caster="2")
    planned(world, "Wilmot", caster="3")
    text = read_any(signed_in(getattr(world, who)), left_page)[1]
    assert "<legend>Wilmot Crane</legend>" in text
    assert ("<legend>Maud Ferris</legend>" in text) == (who != "member")


def test_bait_is_brought_in_from_the_page_once(world: Any, larder_page: str) -> None:
    client = signed_in(world.captain)
    sent = form(read_any(client, larder_page)[1], "bring")
    sent |= {"bait": "hemp", "amount": "2,5", "state": "frozen", "bought_on": "2026-06-18"}
    for _tap in range(2):
        assert client.post(larder_page, sent).status_code == 302
    lot = LarderLot.objects.get()
    assert (lot.amount, lot.unit, lot.state) == (Decimal("2.5"), "pint", "frozen")
    assert (lot.bought_on, lot.use_by) == (dt.date(2026, 6, 18), dt.date(2026, 9, 16))
    text = read_any(client, larder_page)[1]
    assert "Brought in: Hemp, 2.5 pints." in text and "not for the hook" in text


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("amount", "-1", "Write an amount above zero"),
        ("amount", "", "Write an amount above zero"),
        ("amount", "99999", "at most 10000"),
        ("bait", "", "Choose one of the club"),
        ("unit", "kg", "does not fit Hemp"),
        ("state", "boiled", "Choose one of the list"),
        ("whose", "999999", "Choose one of the list"),
        ("use_by", "2026-06-01", "after it was bought"),
        ("bought_on", "2026-02-30", "Write a day"),
    ],
)
def test_what_is_wrong_is_said_at_its_field_and_what_was_typed_stays(
    world: Any, larder_page: str, field: str, value: str, words: str
) -> None:
    client = signed_in(world.captain)
    sent = form(read_any(client, larder_page)[1], "bring")
    sent |= {"bait": "hemp", "amount": "2.5", "bought_on": "2026-06-18", "note": "blue tub"}
    answer = client.post(larder_page, sent | {field: value})
    text = answer.content.decode().replace("&#x27;", "'")
    assert answer.status_code == 200
    assert words in text and "blue tub" in text
    assert not LarderLot.objects.exists()


def test_what_was_thrown_away_is_put_back_from_the_ledger(world: Any, larder_page: str) -> None:
    lot = bring(world)
    client = signed_in(world.captain)
    client.post(larder_page, form(read_any(client, larder_page)[1], "throw") | {"amount": "2"})
    text = read_any(client, larder_page)[1]
    assert "Thrown away: 2 pints of Caster." in text
    assert f'id="lot-{lot.pk}"' not in text
    client.post(larder_page, form(text, "undo"))
    lot.refresh_from_db()
    assert lot.amount == 2
    text = read_any(client, larder_page)[1]
    assert f'id="lot-{lot.pk}"' in text and 'value="undo"' not in text


@pytest.mark.parametrize(
    "changes",
    [
        {"amount": "3"},
        {"amount": "x"},
        {"key": "x"},
        {"do": "eat"},
        {"do": "count", "seen": "1"},
        {"do": "count", "seen": ""},
    ],
)
def test_what_cannot_be_done_is_said_and_moves_nothing(
    world: Any, larder_page: str, changes: dict[str, str]
) -> None:
    lot = bring(world)
    client = signed_in(world.captain)
    sent = {"do": "take", "lot": str(lot.pk), "amount": "1", "key": str(uuid.uuid4())}
    assert client.post(larder_page, sent | changes).status_code == 302
    assert 'class="message error"' in read_any(client, larder_page)[1]
    assert LotMove.objects.count() == 1


@pytest.mark.parametrize("lot", ["", "x", "²", "999999", "9" * 40])
def test_a_lot_that_is_not_there_is_not_found(world: Any, larder_page: str, lot: str) -> None:
    sent = {"do": "take", "lot": lot, "amount": "1", "key": str(uuid.uuid4())}
    assert signed_in(world.captain).post(larder_page, sent).status_code == 404


def test_a_lot_of_another_team_is_not_found_here(world: Any, larder_page: str) -> None:
    other = lot_bring(
        None,
        team=world.teals,
        bait=world.baits["caster"],
        amount=Decimal(1),
        unit="pint",
        state="fresh",
        on=DAY,
        key=uuid.uuid4(),
    )
    sent = {"do": "take", "lot": str(other.pk), "amount": "1", "key": str(uuid.uuid4())}
    assert signed_in(world.captain).post(larder_page, sent).status_code == 404


def test_left_overs_go_back_frozen_in_two_taps(world: Any, left_page: str) -> None:
    """7 pints less 1.5 noted and half a litre, which is 0.8798... pints: 4.62 are left."""
    planned(world, "Wilmot", caster="7", hemp="2")
    fed(world, world.member, 1, "1.5")
    fed(world, world.member, 2, "0.5", "L")
    client = signed_in(world.member)
    text = read_any(client, left_page)[1]
    first = form(text, "freeze")
    wilmot = world.entries["Wilmot"].angler_id
    assert first[f"left-{wilmot}-caster"] == "4.62"
    second = form(client.post(left_page, first).content.decode(), "save")
    assert not LarderLot.objects.exists()
    for _tap in range(2):
        assert client.post(left_page, second).status_code == 302
    lots = LarderLot.objects.order_by("bait__key").values_list(
        "bait__key", "amount", "state", "angler_id", "use_by"
    )
    assert list(lots) == [
        ("caster", Decimal("4.62"), "frozen", wilmot, DAY + dt.timedelta(days=90)),
        ("hemp", Decimal(2), "frozen", wilmot, DAY + dt.timedelta(days=90)),
    ]
    text = read_any(client, left_page)[1]
    assert "2 lots are in the larder now." in text and "put back" in text
    assert 'value="save"' not in text


def test_a_corrected_and_a_withdrawn_feed_note_count_as_they_stand(
    world: Any, left_page: str
) -> None:
    planned(world, "Wilmot", caster="7")
    wrong = fed(world, world.member, 1, "5")
    fed(world, world.member, 2, "2", supersedes=wrong)
    gone = fed(world, world.member, 3, "1")
    logged(world, world.member, 4, {"why": "slip"}, kind="scratch", supersedes=gone)
    fed(world, world.rival, 1, "3")  # another angler's
    sent = form(read_any(signed_in(world.member), left_page)[1], "save")
    assert sent[f"left-{world.entries['Wilmot'].angler_id}-caster"] == "5"


def test_throws_count_as_the_angler_measured_them(world: Any, left_page: str) -> None:
    """Two pouches of 50 ml are 0.1 L, or 0.1759... pints of seven."""
    wilmot = world.entries["Wilmot"].angler
    ThrowSize.objects.create(angler=wilmot, throw="pouch", ml=50)
    planned(world, "Wilmot", caster="7")
    fed(world, world.member, 1, "2", "pouch")
    text = read_any(signed_in(world.member), left_page)[1]
    assert form(text, "save")[f"left-{wilmot.pk}-caster"] == "6.82"
    fed(world, world.member, 2, "1", "bag")  # nobody said how much that is
    assert "unit that does not fit this bait" in read_any(signed_in(world.member), left_page)[1]


def test_the_captain_puts_back_what_was_bought_beyond_the_bags_for_the_team(
    world: Any, left_page: str
) -> None:
    planned(world, "Maud", caster="2.5")
    planned(world, "Wilmot", caster="7")
    placed(world)  # ten packs are cheaper than nine and a half: half a pint is in no bag
    client = signed_in(world.captain)
    sent = form(read_any(client, left_page)[1], "save")
    assert sent["left-team-caster"] == "0.5"
    maud, wilmot = (world.entries[n].angler_id for n in ("Maud", "Wilmot"))
    sent |= {f"left-{maud}-caster": "", f"left-{wilmot}-caster": "1", "whose": "own"}
    assert client.post(left_page, sent).status_code == 302
    assert list(LarderLot.objects.order_by("amount").values_list("amount", "angler_id")) == [
        (Decimal("0.5"), None),
        (Decimal(1), wilmot),
    ]


def test_what_members_leave_to_the_team_is_the_teams(world: Any, left_page: str) -> None:
    planned(world, "Wilmot", caster="7")
    client = signed_in(world.captain)
    client.post(left_page, form(read_any(client, left_page)[1], "save") | {"whose": "team"})
    assert LarderLot.objects.get().angler is None
    # A member cannot give their left-overs away for the team, only keep them.
    LotMove.objects.all().delete()
    LarderLot.objects.all().delete()
    client = signed_in(world.member)
    client.post(left_page, form(read_any(client, left_page)[1], "save") | {"whose": "team"})
    assert LarderLot.objects.get().angler_id == world.entries["Wilmot"].angler_id


def test_what_was_frozen_once_is_not_frozen_again(world: Any, left_page: str) -> None:
    bring(world, "3", bait=world.baits["hemp"], state="frozen")
    planned(world, "Wilmot", caster="2", hemp="3")
    larder_take_for(placed(world))
    client = signed_in(world.captain)
    text = read_any(client, left_page)[1]
    assert "do not freeze it again" in text
    text = client.post(left_page, form(text, "freeze")).content.decode()
    sent = form(text, "save")
    wilmot = world.entries["Wilmot"].angler_id
    assert sent[f"state-{wilmot}-caster"] == "frozen"
    assert sent[f"state-{wilmot}-hemp"] != "frozen"


def test_a_wrong_amount_is_said_at_its_row_and_nothing_goes_back(
    world: Any, left_page: str
) -> None:
    planned(world, "Wilmot", caster="7", hemp="2")
    client = signed_in(world.member)
    sent = form(read_any(client, left_page)[1], "save")
    sent[f"left-{world.entries['Wilmot'].angler_id}-hemp"] = "some"
    answer = client.post(left_page, sent)
    assert answer.status_code == 200
    assert "Write an amount such as 1.5, or nothing." in answer.content.decode()
    assert not LarderLot.objects.exists()


def test_before_the_match_nothing_is_left_over(world: Any, left_page: str) -> None:
    planned(world, "Wilmot", caster="7")
    world.match.date = dt.date(2099, 1, 1)
    world.match.save()
    client = signed_in(world.member)
    text = read_any(client, left_page)[1]
    assert "The match is still to come." in text and 'value="save"' not in text
    wilmot = world.entries["Wilmot"].angler_id
    client.post(left_page, {"do": "save", f"left-{wilmot}-caster": "1"})
    assert not LarderLot.objects.exists()


def test_the_order_says_which_lot_a_member_is_given(world: Any) -> None:
    bring(world, "1", use_by=dt.date(2026, 6, 22))
    planned(world, "Wilmot", caster="7")
    placed(world)
    address = f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/order/"
    text = read_any(signed_in(world.captain), address)[1]
    assert "Of this, from the larder" in text
    assert "fresh, the team’s, use by 22 Jun 2026</span></span> <span>1 pint</span>" in text


def test_a_page_asks_the_same_few_questions_for_fifty_members(
    world: Any, larder_page: str, left_page: str, django_assert_max_num_queries: Any
) -> None:
    for n in range(50):
        angler = Angler.objects.create(club=world.club, name=f"Angler {n}", team=world.alders)
        world.entries[f"A{n}"] = Entry.objects.create(
            match=world.match, angler=angler, team=world.alders
        )
        planned(world, f"A{n}", caster="2", hemp="1")
        bring(world, "1", angler=angler, use_by=dt.date(2099, 1, 1))
    placed(world)
    client = signed_in(world.captain)
    for address in (larder_page, left_page):
        with django_assert_max_num_queries(12):
            assert read_any(client, address)[0] == 200


def test_a_lot_is_found_by_the_number_that_the_bags_name(world: Any, larder_page: str) -> None:
    lot = bring(world, "1")
    text = read_any(signed_in(world.captain), larder_page)[1]
    assert f"<dt>Lot</dt><dd>{lot.pk}</dd>" in text
