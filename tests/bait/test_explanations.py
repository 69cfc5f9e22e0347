"""A version explained: asked for, worked out once, gone on with."""

from __future__ import annotations

from typing import Any

import pytest

from bait.models import Explanation, Order, OrderVersion
from bait.reads.explanations import ORDER_EXPLAIN, explain_work, explanation_seen
from bait.tasks import order_explain
from bait.writes.explanations import explanation_ask, explanation_make
from bait.writes.orders import order_ask, order_place, order_version_make
from matches.models import AuditEntry, WorkRequest, WorkState
from matches.problems import Code, Problem


@pytest.fixture
def version(world: Any, alders_plans: None) -> OrderVersion:
    """9.5 pints of caster: ten at the break's price."""
    order, work = order_ask(world.captain, team=world.alders, match=world.match)
    order_version_make(work.pk)
    order.refresh_from_db()
    assert order.current is not None
    return order.current


def test_a_version_is_explained_from_its_own_request(world: Any, version: OrderVersion) -> None:
    version.order.team.club.shops.update(minimum_spend_pence=99_999)  # prices move on
    work = explanation_ask(world.captain, version=version)
    order_explain(str(work.pk))
    answer = Explanation.objects.get(version=version).answer
    assert answer["total"] == version.answer["total"]
    assert answer["left_out"] == []
    assert [line["packs"] for line in answer["lines"]] == [
        line["packs"] for line in version.answer["lines"]
    ]
    work.refresh_from_db()
    assert (work.state, work.percent) == (WorkState.DONE, 100)


def test_asking_twice_asks_once_and_leaves_a_trace(world: Any, version: OrderVersion) -> None:
    first = explanation_ask(world.captain, version=version)
    assert explanation_ask(world.secretary, version=version) == first
    assert WorkRequest.objects.filter(kind=ORDER_EXPLAIN).count() == 1
    assert AuditEntry.objects.filter(verb="order.explanation_asked").count() == 2


@pytest.mark.parametrize("who", ["member", "rival", "weigher", "outsider"])
def test_only_the_captain_and_the_secretary_may_ask(
    world: Any, version: OrderVersion, who: str
) -> None:
    with pytest.raises(Problem) as refused:
        explanation_ask(getattr(world, who), version=version)
    assert refused.value.code is Code.NOT_ALLOWED
    assert not WorkRequest.objects.filter(kind=ORDER_EXPLAIN).exists()


def test_without_time_the_row_is_done_and_says_what_is_missing(
    world: Any, version: OrderVersion
) -> None:
    work = explanation_ask(world.captain, version=version)
    kept = explanation_make(work.pk, time_limit_s=0)
    assert kept is not None
    assert kept.answer["total"] is None
    assert kept.answer["left_out"] == [{"figure": "base", "of": ""}]


def test_the_rest_is_worked_out_when_asked_again_and_never_lost(
    world: Any, version: OrderVersion
) -> None:
    for seconds in (0, 10, 0):
        work = explanation_ask(world.captain, version=version)
        explanation_make(work.pk, time_limit_s=seconds)
    kept = Explanation.objects.get(version=version)
    assert kept.answer["total"] == version.answer["total"]
    assert kept.answer["left_out"] == []


def test_work_that_is_done_is_not_done_again(world: Any, version: OrderVersion) -> None:
    work = explanation_ask(world.captain, version=version)
    assert explanation_make(work.pk) is not None
    assert explanation_make(work.pk) is None
    assert explain_work(version) == work


def test_a_request_that_no_longer_reads_is_refused_in_words(
    world: Any, version: OrderVersion
) -> None:
    OrderVersion.objects.filter(pk=version.pk).update(inputs={**version.inputs, "demands": 3})
    work = explanation_ask(world.captain, version=version)
    assert explanation_make(work.pk) is None
    work.refresh_from_db()
    assert work.state == WorkState.FAILED and work.problem


def test_a_version_that_is_gone_is_said_to_be(world: Any, version: OrderVersion) -> None:
    work = explanation_ask(world.captain, version=version)
    Order.objects.filter(pk=version.order_id).update(current=None)
    version.delete()
    assert explanation_make(work.pk) is None
    work.refresh_from_db()
    assert (work.state, work.problem) == (
        WorkState.FAILED,
        "This version of the order is gone.",
    )


def test_the_current_version_is_seen_unless_another_is_named(
    world: Any, version: OrderVersion
) -> None:
    seen = explanation_seen(version.order)
    assert seen is not None and seen.version == version and seen.left_out == []
    with pytest.raises(Problem):
        explanation_seen(version.order, number="7")


def test_what_is_bought_already_stays_in_every_answer(
    world: Any, version: OrderVersion, plan_for: Any
) -> None:
    """Ten pints were placed at the break; now 11.5 are wanted, and dropping the shop keeps ten."""
    order_place(world.captain, order=version.order, version=version)
    plan_for("Wilmot", caster="9")
    order, work = order_ask(world.captain, team=world.alders, match=world.match)
    order_version_make(work.pk)
    order.refresh_from_db()
    later = order.current
    assert later is not None and later.number == 2
    explanation_make(explanation_ask(world.captain, version=later).pk)
    answer = Explanation.objects.get(version=later).answer
    (line,) = answer["lines"]
    assert (line["packs"], line["bought"]) == (12, 10)
    missing = [{"bait": "caster", "amount": "1.5", "unit": "pint"}]
    dropped = answer["shops"][0]["dropped"]
    assert [{k: m[k] for k in ("bait", "amount", "unit")} for m in dropped["missing"]] == missing
    assert dropped["changes"] == [{"pack": line["pack"], "before": 12, "after": 10}]
    assert answer["baits"][0]["one_less"]["difference"] == "-3.80"
