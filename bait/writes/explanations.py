"""A version explained: asked for, worked out by solving it again, kept."""

from __future__ import annotations

import time
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from bait.models import Explanation, Order, OrderVersion
from bait.reads.explanations import ORDER_EXPLAIN, bait_units_of, lead_days_of
from bait.reckon.order import order_parse
from bait.reckon.order.explain import SECONDS, order_explain
from matches.models import Person, WorkRequest
from matches.problems import Code, Problem
from matches.reads.access import captained_teams
from matches.reckon.errors import BadInput
from matches.writes.audit import audit_record
from matches.writes.work import Claim, LeaseLost, work_ask, work_fail, work_finish, work_held

from .work_progress import WorkProgress


def explanation_ask(person: Person, *, version: OrderVersion) -> WorkRequest:
    """Ask why a version is as it is. Asking again while it waits asks once.

    Raises Problem NOT_ALLOWED.
    """
    order = Order.objects.select_related("team__club").get(pk=version.order_id)
    if not captained_teams(person).filter(pk=order.team_id).exists():
        raise Problem(
            Code.NOT_ALLOWED, _("Only the team's captain or the secretary may see its order.")
        )
    with transaction.atomic():
        work = work_ask(person, club=order.team.club, kind=ORDER_EXPLAIN, key=str(version.pk))
        audit_record(
            club=order.team.club,
            person=person,
            verb="order.explanation_asked",
            subject=f"order {order.pk}",
            detail={"version": version.number, "work": str(work.pk)},
        )
    return work


def explanation_make(work_id: UUID, *, time_limit_s: float = SECONDS) -> Explanation | None:
    """Explain the version of one row of work, from its own request as it was stored.

    May run twice, and at the same time. What an earlier run found is kept, and only what it left
    out is worked out. None when the row is another's, done, or refused (the row then says why).
    """
    with work_held(work_id) as claim:
        if claim is None:
            return None
        version = OrderVersion.objects.filter(pk=int(claim.key)).first()
        if version is None:
            work_fail(claim, problem=_("This version of the order is gone."), retry=False)
            return None
        began = time.monotonic()
        try:
            answer = _answer(claim, version=version, time_limit_s=time_limit_s)
        except BadInput as bad:
            problem = "\n".join(fault.message for fault in bad.faults)
            work_fail(claim, problem=problem, retry=False)
            return None
        except LeaseLost:
            return None  # another worker took it over, and keeps the answer
        seconds = Decimal(f"{time.monotonic() - began:.3f}")
        return _keep(claim, version=version, answer=answer, seconds=seconds)


def _answer(claim: Claim, *, version: OrderVersion, time_limit_s: float) -> dict[str, Any]:
    before = Explanation.objects.filter(version=version).first()
    return order_explain(
        order_parse(version.inputs),
        lead_days=lead_days_of(version),
        units=bait_units_of(version),
        before=before.answer if before else None,
        time_limit_s=time_limit_s,
        progress=WorkProgress(claim),
    ).as_json()


def _keep(
    claim: Claim, *, version: OrderVersion, answer: dict[str, Any], seconds: Decimal
) -> Explanation:
    with transaction.atomic():
        # One at a time: of two that ran at once the one that found more stands.
        OrderVersion.objects.select_for_update().get(pk=version.pk)
        kept = Explanation.objects.filter(version=version).first()
        if kept is None:
            kept = Explanation.objects.create(version=version, answer=answer, seconds=seconds)
        elif _found_more(answer, than=kept.answer):
            kept.answer, kept.seconds = answer, (kept.seconds or 0) + seconds
            kept.save(update_fields=["answer", "seconds"])
        work_finish(claim)
    return kept


def _found_more(answer: dict[str, Any], *, than: dict[str, Any]) -> bool:
    if than["total"] is None or answer["total"] is None:
        return answer["total"] is not None
    return len(answer["left_out"]) < len(than["left_out"])
