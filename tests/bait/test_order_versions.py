"""An order becomes versions: one per set of inputs, whatever the workers do."""

from __future__ import annotations

from typing import Any

import pytest

from bait.models import Bait, Order, OrderLine, OrderVersion, Share
from bait.reads.order_inputs import is_stale
from bait.writes import orders
from bait.writes.orders import order_ask, order_place, order_version_make, order_withdraw
from matches.models import AuditEntry, WorkRequest, WorkState
from matches.problems import Code, Problem
from tests.bait.conftest import ask, lot_in
from tests.ordered import worked_out

pytestmark = pytest.mark.usefixtures("alders_plans")


def test_the_worked_example_is_kept_with_its_lines_and_shares(world: Any) -> None:
    # 2.5 and 7 pints, one pint in hand: 9 packs at 4.20 and 4.00 delivery come to 41.80.
    world.shops["hut"].delivery_fee_pence = 400
    world.shops["hut"].save()
    lot_in(world)
    version = worked_out(world)
    assert (version.number, version.status, version.total_pence) == (1, "optimal", 4180)
    assert (version.goods_pence, version.delivery_pence) == (3780, 400)
    line = OrderLine.objects.get(version=version)
    assert (line.pack, line.packs, line.unit_price_pence) == (world.packs["caster"], 9, 420)
    assert sum(Share.objects.values_list("due_pence", flat=True)) == 4180
    work = WorkRequest.objects.get()
    assert (work.state, work.percent, version.work) == (WorkState.DONE, 100, work)


def test_doing_the_work_twice_makes_one_version(world: Any) -> None:
    _order, work = ask(world)
    first = order_version_make(work.pk)
    assert first is not None
    assert order_version_make(work.pk) is None
    assert worked_out(world) == first
    assert OrderVersion.objects.count() == 1
    assert AuditEntry.objects.filter(verb="order.worked_out").count() == 1


def test_changed_inputs_make_the_next_version_and_the_same_ones_bring_the_old_back(
    world: Any, plan_for: Any
) -> None:
    first = worked_out(world)
    plan_for("Wilmot", caster="8")
    order = first.order
    assert is_stale(order, version=first)
    second = worked_out(world)
    assert (second.number, is_stale(order, version=second)) == (2, False)
    plan_for("Wilmot", caster="7")
    assert worked_out(world) == first
    assert OrderVersion.objects.count() == 2


def test_a_plan_changed_while_the_worker_worked_leaves_a_stale_version(
    world: Any, plan_for: Any, monkeypatch: Any
) -> None:
    order, work = ask(world)
    real = orders.order_answer

    def slow(*args: Any, **kwargs: Any) -> Any:
        answer = real(*args, **kwargs)
        plan_for("Wilmot", caster="8")
        return answer

    monkeypatch.setattr(orders, "order_answer", slow)
    version = order_version_make(work.pk)
    assert version is not None
    order.refresh_from_db()
    assert order.current == version
    assert is_stale(order, version=version)
    assert WorkRequest.objects.get().state == WorkState.DONE


def test_a_slow_worker_does_not_put_its_old_answer_over_a_newer_one(
    world: Any, plan_for: Any, monkeypatch: Any
) -> None:
    order, work = ask(world)
    real = orders.order_answer

    def overtaken(*args: Any, **kwargs: Any) -> Any:
        answer = real(*args, **kwargs)
        monkeypatch.setattr(orders, "order_answer", real)
        plan_for("Wilmot", caster="8")
        worked_out(world)
        return answer

    monkeypatch.setattr(orders, "order_answer", overtaken)
    late = order_version_make(work.pk)
    order.refresh_from_db()
    assert late is not None and order.current is not None
    assert (late.number, order.current.number) == (2, 1)
    assert not is_stale(order, version=order.current)


def test_a_worker_that_lost_its_lease_leaves_the_row_to_the_other(
    world: Any, monkeypatch: Any
) -> None:
    _order, work = ask(world)
    theirs = "018f0000-0000-7000-8000-000000000000"

    def taken_over(request: Any, *, progress: Any) -> Any:
        WorkRequest.objects.update(lease=theirs)
        progress(50, "comparing")

    monkeypatch.setattr(orders, "order_answer", taken_over)
    assert order_version_make(work.pk) is None
    held = WorkRequest.objects.get()
    assert (held.state, str(held.lease)) == (WorkState.RUNNING, theirs)
    assert not OrderVersion.objects.exists()


def test_a_refused_order_says_whose_bait_it_is(world: Any) -> None:
    _order, work = ask(world)
    Bait.objects.filter(key="caster").update(unit="kg")
    assert order_version_make(work.pk) is None
    failed = WorkRequest.objects.get()
    assert failed.state == WorkState.FAILED
    assert failed.problem.splitlines()[0].startswith("Maud Ferris: ")
    assert "caster" in failed.problem
    assert not OrderVersion.objects.exists()


def test_stock_in_a_unit_that_does_not_fit_is_named(world: Any) -> None:
    Bait.objects.filter(key="caster").update(bulk_density_kg_per_l="0.6")
    world.baits["caster"].refresh_from_db()
    lot_in(world, angler=world.entries["Wilmot"].angler, amount=2, unit="kg")
    Bait.objects.filter(key="caster").update(bulk_density_kg_per_l=None)
    _order, work = ask(world)
    assert order_version_make(work.pk) is None
    problem = WorkRequest.objects.get().problem
    assert problem.startswith("Wilmot Crane, Caster: ")


def test_what_cannot_be_had_is_a_short_order(world: Any) -> None:
    world.packs["caster"].max_packs = 4
    world.packs["caster"].save()
    version = worked_out(world)
    assert version.status == "short"
    assert [(row["bait"], row["amount"]) for row in version.answer["short"]] == [("caster", "5.5")]


def test_an_order_the_larder_covers_costs_nothing(world: Any) -> None:
    lot_in(world, amount=20)
    version = worked_out(world)
    assert (version.total_pence, version.lines.count()) == (0, 0)


def test_without_a_single_plan_nothing_is_asked(world: Any) -> None:
    with pytest.raises(Problem) as refused:
        order_ask(world.secretary, team=world.teals, match=world.match)
    assert refused.value.code is Code.CONFLICT
    assert not Order.objects.exists() and not WorkRequest.objects.exists()


@pytest.mark.parametrize("who", ["member", "rival", "weigher", "outsider"])
def test_only_the_captain_and_the_secretary_order_and_place(world: Any, who: str) -> None:
    version = worked_out(world)
    person = getattr(world, who)
    for forbidden in (
        lambda: order_ask(person, team=world.alders, match=world.match),
        lambda: order_place(person, order=version.order, version=version),
        lambda: order_withdraw(person, order=version.order, version=version),
    ):
        with pytest.raises(Problem) as refused:
            forbidden()
        assert refused.value.code is Code.NOT_ALLOWED
    assert Order.objects.get().placed is None
    assert WorkRequest.objects.count() == 1


def test_an_order_is_placed_once_and_the_second_captain_is_told(world: Any, plan_for: Any) -> None:
    first = worked_out(world)
    plan_for("Wilmot", caster="8")
    second = worked_out(world)
    order_place(world.captain, order=first.order, version=first)
    with pytest.raises(Problem) as refused:
        order_place(world.secretary, order=second.order, version=second)
    assert refused.value.code is Code.CONFLICT
    order = Order.objects.get()
    assert (order.placed, order.placed_at is None) == (first, False)
    assert AuditEntry.objects.filter(verb="order.placed").count() == 1


def test_a_withdrawn_order_can_be_placed_anew(world: Any) -> None:
    version = worked_out(world)
    order_place(world.captain, order=version.order, version=version)
    order_withdraw(world.captain, order=version.order, version=version)
    with pytest.raises(Problem):
        order_withdraw(world.captain, order=version.order, version=version)
    order_place(world.captain, order=version.order, version=version)
    assert Order.objects.get().placed == version


def test_a_version_of_another_order_cannot_be_placed(world: Any, plan_for: Any) -> None:
    version = worked_out(world)
    plan_for("Odette", caster="3")
    other, _work = order_ask(world.secretary, team=world.teals, match=world.match)
    with pytest.raises(Problem) as refused:
        order_place(world.secretary, order=other, version=version)
    assert refused.value.code is Code.NOT_FOUND
