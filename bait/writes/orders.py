"""A team's order: asked for, worked out into versions, placed."""

from __future__ import annotations

import time
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from bait.models import Order, OrderLine, OrderVersion, Plan, ReceivedLine, Share
from bait.reads.larder_orders import takes_rows
from bait.reads.order_inputs import OrderInputs, is_stale, order_inputs, version_fits
from bait.reads.orders import ORDER_WORK
from matches.models import EntryStatus, Match, Person, Team, WorkRequest
from matches.problems import Code, Problem
from matches.reads.access import captained_teams
from matches.reckon.errors import BadInput
from matches.reckon.money import pence_parse
from matches.writes.audit import audit_record
from matches.writes.work import (
    Claim,
    LeaseLost,
    work_ask,
    work_fail,
    work_finish,
    work_held,
)

from .order_answer import order_answer, refusal_words
from .work_progress import WorkProgress

__all__ = [
    "ORDER_WORK",
    "order_ask",
    "order_place",
    "order_version_make",
    "order_withdraw",
]


def order_ask(person: Person, *, team: Team, match: Match) -> tuple[Order, WorkRequest]:
    """Ask for the team's order to be worked out. Asking again while it waits asks once.

    Raises Problem NOT_ALLOWED, and CONFLICT while nobody of the team has a plan.
    """
    captain_check(person, team=team)
    with transaction.atomic():
        if not _planned(team, match=match):
            raise Problem(
                Code.CONFLICT,
                _("Nobody of the team has planned any bait yet: ask for plans first."),
            )
        order, _made = Order.objects.get_or_create(team=team, match=match)
        work = work_ask(person, club=match.club, kind=ORDER_WORK, key=str(order.pk))
        audit_record(
            club=match.club,
            person=person,
            verb="order.asked",
            subject=f"order {order.pk}",
            detail={"work": str(work.pk)},
        )
    return order, work


def _planned(team: Team, *, match: Match) -> bool:
    return Plan.objects.filter(
        entry__match=match,
        entry__team=team,
        entry__status=EntryStatus.ENTERED,
        stages__feeds__isnull=False,
    ).exists()


def captain_check(person: Person, *, team: Team) -> None:
    """Raises Problem NOT_ALLOWED for who does not order for the team."""
    if not captained_teams(person).filter(pk=team.pk).exists():
        raise Problem(
            Code.NOT_ALLOWED, _("Only the team's captain or the secretary may order for it.")
        )


def order_version_make(work_id: UUID) -> OrderVersion | None:
    """Work out the order of one row of work and keep the answer as a version.

    May run twice, and at the same time: the same inputs are the same version. A plan changed
    meanwhile does no harm: the version says what it was made from and is shown as stale. None
    when the row is another's, done, or refused (the row then says why).
    """
    with work_held(work_id) as claim:
        if claim is None:
            return None
        order = _order_whole(int(claim.key))
        began = time.monotonic()
        inputs: OrderInputs | None = None
        try:
            inputs = order_inputs(order)
            version = _version_known(order, inputs=inputs)
            answer = (
                None if version else _answer(order, inputs=inputs, progress=WorkProgress(claim))
            )
        except BadInput as bad:
            work_fail(claim, problem=refusal_words(bad, inputs=inputs), retry=False)
            return None
        except LeaseLost:
            return None  # another worker took it over, and keeps the answer
        seconds = Decimal(f"{time.monotonic() - began:.3f}")
        return _version_keep(claim, order=order, inputs=inputs, answer=answer, seconds=seconds)


def _order_whole(pk: int) -> Order:
    return Order.objects.select_related("match", "team__club", "placed").get(pk=pk)


def _version_known(order: Order, *, inputs: OrderInputs) -> OrderVersion | None:
    """The version of these inputs, if there is one: the placed one answers as if not placed."""
    if order.placed and version_fits(order, version=order.placed, inputs=inputs):
        return order.placed
    return order.versions.filter(inputs_digest=inputs.digest).first()


def _answer(order: Order, *, inputs: OrderInputs, progress: WorkProgress) -> dict[str, Any]:
    """The calculator's, with what it is a change of, what was asked for in place of what, and
    from which lots its stock is."""
    answer = order_answer(inputs.request, progress=progress)
    lots = takes_rows(inputs.takes)
    if lots:
        answer["larder"] = lots
    if inputs.instead:
        answer["instead"] = inputs.instead
    if order.placed:
        answer["changes"] = order.placed.number
    return answer


def _version_keep(
    claim: Claim,
    *,
    order: Order,
    inputs: OrderInputs,
    answer: dict[str, Any] | None,
    seconds: Decimal,
) -> OrderVersion:
    with transaction.atomic():
        # One at a time: the next number and "is there one already" must not change meanwhile.
        Order.objects.select_for_update().get(pk=order.pk)
        held = _order_whole(order.pk)
        version = _version_known(held, inputs=inputs)
        if version is None:
            if answer is None:
                raise RuntimeError("a version was deleted while its twin was worked out")
            version = _version_create(
                claim, order=order, inputs=inputs, answer=answer, seconds=seconds
            )
        if held.current_id is None or not _is_fresh(held, version_id=held.current_id):
            Order.objects.filter(pk=order.pk).update(current=version)
        work_finish(claim)
    return version


def _is_fresh(order: Order, *, version_id: int) -> bool:
    """A slow worker must not put its older answer over a newer one that fits."""
    return not is_stale(order, version=OrderVersion.objects.get(pk=version_id))


def _version_create(
    claim: Claim,
    *,
    order: Order,
    inputs: OrderInputs,
    answer: dict[str, Any],
    seconds: Decimal,
) -> OrderVersion:
    latest = order.versions.order_by("-number").values_list("number", flat=True).first() or 0
    version = OrderVersion.objects.create(
        order=order,
        number=latest + 1,
        inputs=inputs.request,
        inputs_digest=inputs.digest,
        answer=answer,
        status=answer["status"],
        total_pence=pence_parse(answer["total"]),
        goods_pence=pence_parse(answer["goods"]),
        delivery_pence=pence_parse(answer["delivery"]),
        seconds=seconds,
        work_id=claim.work_id,
    )
    OrderLine.objects.bulk_create(
        OrderLine(
            version=version,
            pack_id=int(line["pack"]),
            packs=line["packs"],
            unit_price_pence=pence_parse(line["unit_price"]),
            cost_pence=pence_parse(line["cost"]),
        )
        for line in answer["lines"]
    )
    Share.objects.bulk_create(
        Share(
            version=version,
            angler_id=int(share["member"]),
            due_pence=pence_parse(share["due"]),
            alone_pence=None if share["alone"] is None else pence_parse(share["alone"]),
        )
        for share in answer["shares"]
    )
    audit_record(
        club=order.team.club,
        person=WorkRequest.objects.select_related("asked_by").get(pk=claim.work_id).asked_by,
        verb="order.worked_out",
        subject=f"order {order.pk}",
        detail={"version": version.number, "total": answer["total"], "status": version.status},
    )
    return version


def order_place(person: Person, *, order: Order, version: OrderVersion) -> Order:
    """Say that this version was sent to the shops.

    Raises Problem NOT_ALLOWED, NOT_FOUND (a version of another order) and CONFLICT when the order
    was placed already: the database changes the row only while nothing is placed, so of two
    captains at once one is told.
    """
    captain_check(person, team=order.team)
    if version.order_id != order.pk:
        raise Problem(Code.NOT_FOUND, _("This order has no such version."))
    with transaction.atomic():
        placed = Order.objects.filter(pk=order.pk, placed__isnull=True).update(
            placed=version, placed_at=timezone.now()
        )
        if not placed:
            raise Problem(
                Code.CONFLICT,
                _("The order was placed already. Look which version it was before you send two."),
            )
        audit_record(
            club=order.team.club,
            person=person,
            verb="order.placed",
            subject=f"order {order.pk}",
            detail={"version": version.number},
        )
    order.refresh_from_db()
    return order


def order_withdraw(person: Person, *, order: Order, version: OrderVersion) -> Order:
    """Say that the placed version was cancelled with the shops, so that another can be placed.

    Raises Problem NOT_ALLOWED, and CONFLICT when another version (or none) is placed now, or its
    bait was received.
    """
    captain_check(person, team=order.team)
    with transaction.atomic():
        withdrawn = Order.objects.filter(
            pk=order.pk, placed=version, received_at__isnull=True
        ).update(placed=None, placed_at=None)
        if not withdrawn:
            raise Problem(
                Code.CONFLICT,
                _("That version is not the placed one any more, or its bait has come already."),
            )
        ReceivedLine.objects.filter(order=order).delete()
        audit_record(
            club=order.team.club,
            person=person,
            verb="order.withdrawn",
            subject=f"order {order.pk}",
            detail={"version": version.number},
        )
    order.refresh_from_db()
    return order
