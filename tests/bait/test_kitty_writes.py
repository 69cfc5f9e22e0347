"""The kitty of a placed order: noted once, settled exactly, taken back without a trace lost."""

from __future__ import annotations

import uuid
from typing import Any

import pytest
from django.utils import timezone

from bait.models import Order, PaidBack, ReceivedLine, Share, ShopCharge, ShopPayment
from bait.reads.kitty import Kitty, kitty_even, kitty_of
from bait.reads.order_bill import order_bill
from bait.writes.kitty import pay_back, payment_take_back, shop_charge, shop_pay
from bait.writes.orders import order_place
from matches.models import AuditEntry
from matches.problems import Code, Problem
from tests.ordered import worked_out

pytestmark = pytest.mark.usefixtures("alders_plans")


@pytest.fixture
def order(world: Any) -> Order:
    """2.5 and 7 pints of caster: ten packs at 3.80 and 4.00 delivery, 42.00 in all."""
    world.shops["hut"].delivery_fee_pence = 400
    world.shops["hut"].save()
    version = worked_out(world)
    return order_place(world.captain, order=version.order, version=version)


def kitty(order: Order) -> Kitty:
    found = kitty_of(Order.objects.select_related("placed", "team__club").get(pk=order.pk))
    assert found is not None
    return found


def angler(world: Any, first: str) -> int:
    return int(world.entries[first].angler_id)


def pay(world: Any, order: Order, first: str, pence: int, **how: Any) -> ShopPayment | None:
    how = {"person": world.captain, "key": uuid.uuid4()} | how
    person = how.pop("person")
    shop_id = how.pop("shop_id", world.shops["hut"].pk)
    angler_id = angler(world, first)
    return shop_pay(person, order=order, shop_id=shop_id, angler_id=angler_id, pence=pence, **how)


def give(world: Any, order: Order, payer: str, payee: str, pence: int, **how: Any) -> Any:
    how = {"key": uuid.uuid4()} | how
    return pay_back(
        world.captain,
        order=order,
        payer_id=angler(world, payer),
        payee_id=angler(world, payee),
        pence=pence,
        **how,
    )


def refused(code: Code, act: Any, *args: Any, **how: Any) -> str:
    before = (ShopPayment.objects.count(), PaidBack.objects.count(), AuditEntry.objects.count())
    with pytest.raises(Problem) as problem:
        act(*args, **how)
    assert problem.value.code is code
    after = (ShopPayment.objects.count(), PaidBack.objects.count(), AuditEntry.objects.count())
    assert after == before
    return problem.value.detail


def test_the_dues_are_the_shares_of_the_placed_version(order: Order) -> None:
    bill = order_bill(order)
    assert bill is not None
    shares = {str(s.angler_id): s.due_pence for s in Share.objects.all()}
    assert {member: bill.due(member) for member in bill.parts} == shares
    assert bill.total == sum(shares.values()) == bill.version.total_pence == 4200


def test_before_the_shop_is_paid_nobody_owes_anybody(order: Order) -> None:
    found = kitty(order)
    assert [(s.shop.name, s.shop.total, s.open) for s in found.shops] == [
        ("Hobday's Hut", 4200, 4200)
    ]
    assert (found.shops_paid, found.even, found.owed) == (False, False, ())


def test_a_kitty_is_settled_to_the_penny(world: Any, order: Order) -> None:
    pay(world, order, "Maud", 4200)
    found = kitty(order)
    # 2.5 of 9.5 of 42.00 is 11.05; the other 30.95.
    assert [(row.angler.name, row.due, row.paid, row.balance) for row in found.rows] == [
        ("Maud Ferris", 1105, 4200, 3095),
        ("Wilmot Crane", 3095, 0, -3095),
    ]
    assert [(o.payer.name, o.payee.name, o.pence) for o in found.owed] == [
        ("Wilmot Crane", "Maud Ferris", 3095)
    ]
    give(world, order, "Wilmot", "Maud", 1000)
    assert [row.balance for row in kitty(order).rows] == [2095, -2095]
    give(world, order, "Wilmot", "Maud", 2095)
    assert kitty(order).even and kitty_even(Order.objects.get(pk=order.pk))
    assert {row.balance for row in kitty(order).rows} == {0}


def test_one_who_is_not_fishing_may_have_paid(world: Any, order: Order) -> None:
    pay(world, order, "Odette", 4200)
    assert [(o.payer.name, o.payee.name, o.pence) for o in kitty(order).owed] == [
        ("Maud Ferris", "Odette Marl", 1105),
        ("Wilmot Crane", "Odette Marl", 3095),
    ]


def test_the_same_key_again_pays_once(world: Any, order: Order) -> None:
    key = uuid.uuid4()
    assert pay(world, order, "Maud", 4200, key=key) == pay(world, order, "Maud", 4200, key=key)
    back = uuid.uuid4()
    for _again in range(2):
        give(world, order, "Wilmot", "Maud", 3095, key=back)
    assert (ShopPayment.objects.count(), PaidBack.objects.count()) == (1, 1)
    assert AuditEntry.objects.filter(verb__startswith="kitty.").count() == 2


def test_a_payment_noted_by_two_captains_is_told(world: Any, order: Order) -> None:
    pay(world, order, "Maud", 4200)
    assert "owed only 0.00 more" in refused(Code.CONFLICT, pay, world, order, "Wilmot", 4200)
    give(world, order, "Wilmot", "Maud", 3095)
    refused(Code.CONFLICT, give, world, order, "Wilmot", "Maud", 3095)
    refused(Code.CONFLICT, give, world, order, "Maud", "Wilmot", 1)


def test_what_was_noted_wrongly_is_taken_back_and_stays_so(world: Any, order: Order) -> None:
    key = uuid.uuid4()
    pay(world, order, "Maud", 4200, key=key)
    for _again in range(2):
        payment_take_back(world.captain, order=order, key=key)
    assert pay(world, order, "Maud", 4200, key=key) is None
    assert ShopPayment.objects.count() == 0
    verbs = AuditEntry.objects.filter(verb__startswith="kitty.").values_list("verb", flat=True)
    assert sorted(verbs) == ["kitty.shop_paid", "kitty.taken_back"]
    refused(Code.NOT_FOUND, payment_take_back, world.captain, order=order, key=uuid.uuid4())


@pytest.mark.parametrize("who", ["member", "rival", "weigher", "outsider"])
def test_only_who_orders_for_the_team_keeps_its_kitty(world: Any, order: Order, who: str) -> None:
    paid = pay(world, order, "Maud", 4200)
    assert paid is not None
    person = getattr(world, who)
    refused(Code.NOT_ALLOWED, pay, world, order, "Maud", 1, person=person)
    refused(Code.NOT_ALLOWED, payment_take_back, person, order=order, key=paid.key)


@pytest.mark.parametrize("pence", [0, -1, 10**9])
def test_an_amount_that_is_none_is_refused(world: Any, order: Order, pence: int) -> None:
    refused(Code.BAD_INPUT, pay, world, order, "Maud", pence)


def test_paying_back_waits_for_the_shop_to_be_paid(world: Any, order: Order) -> None:
    pay(world, order, "Maud", 4000)
    refused(Code.CONFLICT, give, world, order, "Wilmot", "Maud", 100)


def test_a_settled_order_has_its_kitty_closed(world: Any, order: Order) -> None:
    paid = pay(world, order, "Maud", 4200)
    assert paid is not None
    Order.objects.filter(pk=order.pk).update(settled_at=timezone.now())
    refused(Code.CONFLICT, give, world, order, "Wilmot", "Maud", 3095)
    refused(Code.CONFLICT, payment_take_back, world.captain, order=order, key=paid.key)


def test_an_order_not_placed_has_no_kitty(world: Any) -> None:
    order = worked_out(world).order
    assert kitty_of(order) is None
    assert not kitty_even(order)
    refused(Code.CONFLICT, pay, world, order, "Maud", 100)


def test_what_did_not_come_is_not_charged(world: Any, order: Order) -> None:
    pay(world, order, "Maud", 4200)
    ReceivedLine.objects.create(order=order, pack=world.packs["caster"], packs=8)
    Order.objects.filter(pk=order.pk).update(received_at=timezone.now())
    order.refresh_from_db()
    found = kitty(order)
    # Eight at the placed 3.80 and the delivery: 34.40; what was paid above it must come back.
    assert [(s.shop.total, s.paid, s.open) for s in found.shops] == [(3440, 4200, -760)]
    assert sum(row.due for row in found.rows) == 3440
    assert not found.shops_paid


def test_a_shop_from_which_nothing_came_is_not_paid_for_delivery(world: Any, order: Order) -> None:
    ReceivedLine.objects.create(order=order, pack=world.packs["caster"], packs=0)
    Order.objects.filter(pk=order.pk).update(received_at=timezone.now())
    order.refresh_from_db()
    found = kitty(order)
    assert (found.bill.total, {row.due for row in found.rows}, found.even) == (0, {0}, True)


def charge(world: Any, order: Order, pence: int, **how: Any) -> int | None:
    person = how.pop("person", world.captain)
    return shop_charge(person, order=order, shop_id=world.shops["hut"].pk, pence=pence)


@pytest.mark.parametrize(("charged", "dues"), [(4238, [1115, 3123]), (3800, [1000, 2800])])
def test_what_the_shop_charged_otherwise_is_shared_as_delivery_is(
    world: Any, order: Order, charged: int, dues: list[int]
) -> None:
    assert charge(world, order, charged) == charged
    found = kitty(order)
    assert [row.due for row in found.rows] == dues
    assert (found.bill.total, found.shops[0].open) == (charged, charged)
    pay(world, order, "Maud", charged)
    give(world, order, "Wilmot", "Maud", dues[1])
    assert kitty(order).even


def test_a_shop_that_charged_nothing_is_paid(world: Any, order: Order) -> None:
    charge(world, order, 0)
    found = kitty(order)
    assert ({row.due for row in found.rows}, found.even) == ({0}, True)


def test_charged_as_the_order_says_is_nothing_to_note(world: Any, order: Order) -> None:
    charge(world, order, 4300)
    for _again in range(2):
        assert charge(world, order, 4200) is None
    assert not ShopCharge.objects.exists()
    assert AuditEntry.objects.filter(verb="kitty.shop_charged").count() == 2
    refused(Code.BAD_INPUT, charge, world, order, 10**8)
    refused(Code.NOT_ALLOWED, charge, world, order, 1, person=world.member)
    refused(Code.NOT_FOUND, shop_charge, world.captain, order=order, shop_id=0, pence=1)


def test_a_shop_from_which_nothing_came_may_charge_all_the_same(world: Any, order: Order) -> None:
    ReceivedLine.objects.create(order=order, pack=world.packs["caster"], packs=0)
    Order.objects.filter(pk=order.pk).update(received_at=timezone.now())
    order.refresh_from_db()
    charge(world, order, 301)
    assert [row.due for row in kitty(order).rows] == [151, 150]


def test_queries_do_not_grow(order: Order, django_assert_max_num_queries: Any) -> None:
    held = Order.objects.select_related("placed", "team__club").get(pk=order.pk)
    with django_assert_max_num_queries(5):
        kitty_of(held)
