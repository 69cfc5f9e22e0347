"""Kitty, statements, bags and labels over HTTP, as each role meets them."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from bait.models import BagTick, Order, PaidBack, ShopPayment
from bait.writes.orders import order_ask, order_place, order_version_make
from matches.models import Angler, Entry, Membership, Person, Role
from tests.clients import read_any, signed_in
from tests.ordered import planned
from tests.ordered import worked_out as order_worked_out


@pytest.fixture
def worked_out(world: Any) -> Order:
    world.shops["hut"].delivery_fee_pence = 400
    world.shops["hut"].save()
    planned(world, "Maud", caster="2.5")
    planned(world, "Wilmot", caster="7")
    return order_worked_out(world).order


@pytest.fixture
def order(world: Any, worked_out: Order) -> Order:
    assert worked_out.current is not None
    return order_place(world.captain, order=worked_out, version=worked_out.current)


@pytest.fixture
def kitty_page(world: Any) -> str:
    return f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/kitty/"


@pytest.fixture
def bags_page(world: Any) -> str:
    return f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/bags/"


@pytest.fixture
def statement_page(world: Any) -> str:
    return f"/desk/plans/{world.match.pk}/statement/"


def of_wilmot(world: Any) -> str:
    return f"/desk/plans/{world.match.pk}/entries/{world.entries['Wilmot'].pk}/statement/"


def keys(html: str) -> list[str]:
    return re.findall(r'name="key" value="([^"]+)"', html)


def pay_maud(client: Client, world: Any, kitty_page: str, amount: str = "42,00") -> Any:
    _status, html = read_any(client, kitty_page)
    return client.post(
        kitty_page,
        {
            "do": "pay",
            "key": keys(html)[0],
            "shop": world.shops["hut"].pk,
            "angler": world.entries["Maud"].angler_id,
            "amount": amount,
        },
    )


@pytest.mark.usefixtures("worked_out")
def test_before_it_is_placed_every_page_says_what_to_wait_for(
    world: Any, kitty_page: str, bags_page: str, statement_page: str
) -> None:
    client = signed_in(world.captain)
    for address, words in [
        (kitty_page, "The kitty opens once the order is placed"),
        (bags_page, "There is something to pack once the order is placed"),
        (bags_page + "labels/", "There are labels once the order is placed"),
        (statement_page, "The statement comes once the captain has placed the order"),
    ]:
        assert words in read_any(client, address)[1]


def test_pages_without_any_order_say_so(world: Any, kitty_page: str, bags_page: str) -> None:
    client = signed_in(world.captain)
    assert "The kitty opens once" in read_any(client, kitty_page)[1]
    assert "once the order is placed" in read_any(client, bags_page)[1]
    assert client.post(kitty_page, {"do": "pay"}, follow=True).status_code == 200


def test_a_captain_settles_the_kitty_on_the_page(world: Any, order: Order, kitty_page: str) -> None:
    client = signed_in(world.captain)
    assert "Note first who paid each shop" in read_any(client, kitty_page)[1]
    pay_maud(client, world, kitty_page)
    _status, html = read_any(client, kitty_page)
    assert "1 payment settles everything." in html
    assert "£30.95" in html
    client.post(
        kitty_page,
        {
            "do": "back",
            "key": keys(html)[0],
            "payer": world.entries["Wilmot"].angler_id,
            "payee": world.entries["Maud"].angler_id,
            "amount": "30.95",
        },
    )
    _status, html = read_any(client, kitty_page)
    assert "Everybody is even." in html
    back = PaidBack.objects.get()
    client.post(kitty_page, {"do": "take_back", "key": str(back.key)})
    assert not PaidBack.objects.exists()


def test_a_shop_that_charged_otherwise_is_noted_and_said(
    world: Any, order: Order, kitty_page: str, statement_page: str
) -> None:
    client = signed_in(world.captain)
    shop = world.shops["hut"].pk
    client.post(kitty_page, {"do": "charge", "shop": shop, "amount": "41.50"})
    assert "charged; the order says £42.00" in read_any(client, kitty_page)[1]
    html = read_any(signed_in(world.member), statement_page)[1]
    assert "of £4.00 delivery less £0.50 charged less than ordered, by goods" in html


@pytest.mark.parametrize("amount", ["", "x", "-1", "0", "42.001", "1e3"])
def test_an_amount_that_is_none_says_what_to_write(
    world: Any, order: Order, kitty_page: str, amount: str
) -> None:
    client = signed_in(world.captain)
    pay_maud(client, world, kitty_page, amount)
    assert "Write an amount above zero, such as 12.40." in read_any(client, kitty_page)[1]
    assert not ShopPayment.objects.exists()


@pytest.mark.parametrize(
    "broken",
    [{"key": "x"}, {"shop": "x"}, {"angler": "99999999999999"}, {"shop": "-1"}, {"angler": ""}],
)
def test_what_no_page_of_ours_sends_is_refused_in_words(
    world: Any, order: Order, kitty_page: str, broken: dict[str, str]
) -> None:
    client = signed_in(world.captain)
    whole = {
        "do": "pay",
        "key": "018f0000-0000-7000-8000-000000000000",
        "shop": str(world.shops["hut"].pk),
        "angler": str(world.entries["Maud"].angler_id),
        "amount": "1",
    }
    assert client.post(kitty_page, whole | broken).status_code == 302
    assert not ShopPayment.objects.exists()


def test_a_settled_kitty_shows_no_forms(world: Any, order: Order, kitty_page: str) -> None:
    Order.objects.update(settled_at=timezone.now())
    html = read_any(signed_in(world.captain), kitty_page)[1]
    assert "the kitty is closed" in html
    assert 'name="do"' not in html


def test_a_members_statement_adds_up_line_by_line(
    world: Any, order: Order, kitty_page: str, statement_page: str
) -> None:
    pay_maud(signed_in(world.captain), world, kitty_page)
    html = " ".join(read_any(signed_in(world.member), statement_page)[1].split())
    # Goods 38.00 and delivery 4.00, of which 7 of 9.5: 28.00 and 2.95, together 30.95.
    assert "of 10 × 1 pint, Hobday&#x27;s Hut, £38.00: £28.00" in html
    assert "Delivery, Hobday&#x27;s Hut" in html and ">£2.95<" in html
    assert "£30.95" in html
    assert "To pay to Maud Ferris" in html
    assert "saves £2.45" in html and "alone it would have been £33.40" in html


def test_a_statement_is_seen_by_its_member_and_the_captain_alone(world: Any, order: Order) -> None:
    found = {
        who: read_any(signed_in(getattr(world, who)), of_wilmot(world))[0]
        for who in ("member", "captain", "secretary", "rival", "weigher", "outsider")
    }
    assert found == {
        "member": 200,
        "captain": 200,
        "secretary": 200,
        "rival": 403,
        "weigher": 403,
        "outsider": 404,
    }


def test_a_juniors_statement_is_not_for_their_team_mates(world: Any, order: Order) -> None:
    junior = world.entries["Wilmot"].angler
    junior.junior = True
    junior.save()
    mate = Person.objects.create_user("dorrit", password="x")
    Membership.objects.create(club=world.club, person=mate, role=Role.MEMBER)
    angler = Angler.objects.create(
        club=world.club, person=mate, team=world.alders, name="Dorrit Vane"
    )
    Entry.objects.create(match=world.match, angler=angler, team=world.alders)
    client = signed_in(mate)
    assert read_any(client, of_wilmot(world))[0] == 403
    assert read_any(signed_in(world.captain), of_wilmot(world))[0] == 200


def test_a_statement_names_a_junior_as_the_public_does(
    world: Any, order: Order, kitty_page: str, statement_page: str
) -> None:
    junior = world.entries["Maud"].angler
    junior.junior = True
    junior.save()
    pay_maud(signed_in(world.captain), world, kitty_page)
    html = read_any(signed_in(world.member), statement_page)[1]
    assert "To pay to M. F." in html
    assert "Maud Ferris" not in html


def test_on_paper_a_junior_is_named_as_the_public_does_and_their_captain_reads_who_owes(
    world: Any, order: Order, kitty_page: str, bags_page: str
) -> None:
    junior = world.entries["Wilmot"].angler
    client, both = signed_in(world.captain), f'"no-print">{junior.name}</span>'
    order_page, mixing = kitty_page.replace("/kitty/", "/order/"), of_wilmot(world)
    shown = [kitty_page, bags_page, order_page, mixing, mixing.replace("statement", "mixing")]
    junior.junior = True
    junior.save()
    initials = junior.public_name
    for address in shown:
        html = read_any(client, address)[1]
        assert both in html and f'"on-paper">{initials}</span>' in html, address
    label = read_any(client, bags_page + "labels/")[1]
    assert f"<h2>{initials}</h2>" in label and junior.name not in label
    junior.guardian_consents = True
    junior.save()
    for address in shown:
        html = read_any(client, address)[1]
        assert junior.name in html and "on-paper" not in html, address
    assert junior.name in read_any(client, bags_page + "labels/")[1]


def test_who_asked_for_nothing_owes_nothing(world: Any, order: Order, statement_page: str) -> None:
    world.entries["Odette"].team = world.alders
    world.entries["Odette"].save()
    assert "nothing is due" in read_any(signed_in(world.rival), statement_page)[1]


def test_a_thing_is_ticked_and_unticked_by_its_button(
    world: Any, order: Order, bags_page: str
) -> None:
    client = signed_in(world.captain)
    html = read_any(client, bags_page)[1]
    thing = re.findall(r'name="tick" value="([^"]+)" aria', html)[1]
    wilmot = world.entries["Wilmot"].angler_id
    answer = client.post(bags_page, {"angler": wilmot, "tick": thing})
    assert answer["Location"] == f"{bags_page}#bag-{wilmot}"
    html = read_any(client, bags_page)[1]
    assert "1 of 2 things are in their bags" in html
    assert 'aria-pressed="true"' in html
    client.post(bags_page, {"angler": wilmot, "untick": thing})
    assert not BagTick.objects.exists()


def test_a_whole_bag_is_ticked_at_once_and_twice(world: Any, order: Order, bags_page: str) -> None:
    client = signed_in(world.captain)
    maud = world.entries["Maud"].angler_id
    html = read_any(client, bags_page)[1]
    things = re.findall(r'type="hidden" name="tick" value="([^"]+)"', html)[:1]
    for _again in range(2):
        client.post(bags_page, {"angler": maud, "tick": things})
    assert BagTick.objects.count() == 1


def test_a_bag_that_changed_meanwhile_is_shown_again(
    world: Any, order: Order, bags_page: str
) -> None:
    client = signed_in(world.captain)
    maud = world.entries["Maud"].angler_id
    answer = client.post(bags_page, {"angler": maud, "tick": "pack-1:9 pint"}, follow=True)
    assert "changed meanwhile" in answer.content.decode()
    assert client.post(bags_page, {"angler": "x", "tick": "y"}).status_code == 404


def test_labels_say_name_match_contents(world: Any, order: Order, bags_page: str) -> None:
    Order.objects.update(received_at=timezone.now())
    html = " ".join(read_any(signed_in(world.captain), bags_page + "labels/")[1].split())
    assert "<h2>Wilmot Crane</h2> <p>June Open, 20 June 2026</p>" in html
    assert "7 pints" in html and "use by" in html and "keep cool" in html


def test_from_packed_bags_one_goes_straight_on(world: Any, order: Order, bags_page: str) -> None:
    client = signed_in(world.captain)
    Order.objects.update(received_at=timezone.now())
    assert "All bags are filled" not in read_any(client, bags_page)[1]
    for first in ("Maud", "Wilmot"):
        html = read_any(client, bags_page)[1]
        angler = world.entries[first].angler_id
        section = html[html.index(f'id="bag-{angler}"') :].split("</section>")[0]
        keys = re.findall(r'type="hidden" name="tick" value="([^"]+)"', section)
        client.post(bags_page, {"angler": angler, "tick": keys})
    assert "All bags are filled" in read_any(client, bags_page)[1]
    client.post(bags_page.replace("/bags/", "/order/"), {"do": "bag"})
    assert Order.objects.get().bagged_at is not None
    assert "All bags are filled" not in read_any(client, bags_page)[1]


def test_left_overs_are_put_away_only_once_the_match_is_there(
    world: Any, order: Order, bags_page: str
) -> None:
    client = signed_in(world.captain)
    assert "Put left-overs into the larder" in read_any(client, bags_page)[1]
    world.match.date = world.match.date.replace(year=2090)
    world.match.save()
    html = read_any(client, bags_page)[1]
    assert "Put left-overs into the larder" not in html
    assert "After the match it goes into the larder, under Left over." in html


def fifty_members(world: Any) -> None:
    for n in range(48):
        angler = Angler.objects.create(club=world.club, team=world.alders, name=f"Angler {n:02}")
        entry = Entry.objects.create(match=world.match, angler=angler, team=world.alders)
        world.entries[f"m{n}"] = entry
        planned(world, f"m{n}", caster="1.25")


def test_no_page_asks_more_of_the_database_for_fifty(
    world: Any, kitty_page: str, bags_page: str, django_assert_max_num_queries: Any
) -> None:
    fifty_members(world)
    planned(world, "Maud", caster="2.5")
    planned(world, "Wilmot", caster="7")
    held, work = order_ask(world.captain, team=world.alders, match=world.match)
    order_version_make(work.pk)
    held.refresh_from_db()
    assert held.current is not None
    order_place(world.captain, order=held, version=held.current)
    client = signed_in(world.captain)
    ShopPayment.objects.create(
        order=held,
        shop=world.shops["hut"],
        angler=world.entries["Maud"].angler,
        pence=held.current.total_pence,
    )
    for address in (kitty_page, bags_page, bags_page + "labels/", of_wilmot(world)):
        with django_assert_max_num_queries(12):
            assert read_any(client, address)[0] == 200
