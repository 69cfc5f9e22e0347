"""What a worker does. Each task fetches by id and calls one function; Celery only wakes it."""

from __future__ import annotations

from uuid import UUID

from celery import shared_task

from bait.reads.explanations import ORDER_EXPLAIN
from bait.reads.season_seen import SEASON_WORK
from bait.writes.explanations import explanation_make
from bait.writes.orders import ORDER_WORK, order_version_make
from bait.writes.season import season_answer_make
from matches.writes import work


@shared_task(name=ORDER_WORK)  # type: ignore[untyped-decorator]
def order_work_out(work_id: str) -> None:
    """Work out the order one row of work asks for; harmless when it is done already."""
    order_version_make(UUID(work_id))


@shared_task(name=ORDER_EXPLAIN)  # type: ignore[untyped-decorator]
def order_explain(work_id: str) -> None:
    """Explain the version one row of work asks for; harmless when it is done already."""
    explanation_make(UUID(work_id))


@shared_task(name=SEASON_WORK)  # type: ignore[untyped-decorator]
def season_work_out(work_id: str) -> None:
    """Work out the season one row of work asks for; harmless when it is done already."""
    season_answer_make(UUID(work_id))


@shared_task(name="bait.tasks.work_sweep")  # type: ignore[untyped-decorator]
def work_sweep() -> None:
    """Wake workers for what was missed; see `matches.writes.work`."""
    work.work_sweep()
