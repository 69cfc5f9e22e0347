"""The page a Prometheus server reads: what was counted, and what waits in the database now."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from django.db import DatabaseError
from prometheus_client import CollectorRegistry, generate_latest
from prometheus_client.core import GaugeMetricFamily, Metric
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import Collector

from bait.reads.explanations import ORDER_EXPLAIN
from bait.reads.season_seen import SEASON_WORK
from bait.writes.orders import ORDER_WORK
from matches.models import WorkState
from matches.reads.work_waiting import deliveries_waiting, work_waiting

from .meters import OURS, SHARED

#: Told of with a nought too, so that an alarm can tell nothing waiting from nothing heard.
KINDS: Final = frozenset({ORDER_WORK, ORDER_EXPLAIN, SEASON_WORK})


def meters_text() -> bytes:
    """Everything in Prometheus's text form, of all processes that count in the same folder."""
    counted = OURS
    if SHARED:
        counted = CollectorRegistry()
        MultiProcessCollector(counted, path=SHARED)  # type: ignore[no-untyped-call]
    rows = CollectorRegistry()
    rows.register(_Rows())
    return generate_latest(counted) + generate_latest(rows)


class _Rows(Collector):
    """What the database says when it is asked; nothing while it does not answer."""

    def collect(self) -> Iterable[Metric]:
        rows = GaugeMetricFamily(
            "drawbag_work_rows", "Rows of work not over yet.", labels=["kind", "state"]
        )
        ages = GaugeMetricFamily(
            "drawbag_work_oldest_age_seconds",
            "Since when the oldest row that waits was asked for.",
            labels=["kind"],
        )
        sends = GaugeMetricFamily(
            "drawbag_webhook_deliveries_waiting", "Messages to other sites not taken yet."
        )
        send_age = GaugeMetricFamily(
            "drawbag_webhook_oldest_age_seconds", "Since when the oldest of them waits."
        )
        up = GaugeMetricFamily("drawbag_database_up", "Whether the database answered.")
        try:
            waiting = work_waiting()
            sending, oldest = deliveries_waiting()
        except DatabaseError:
            up.add_metric([], 0)
            return [up]
        up.add_metric([], 1)
        for kind in KINDS - {one.kind for one in waiting}:
            rows.add_metric([kind, WorkState.WAITING], 0)
        for one in waiting:
            rows.add_metric([one.kind, one.state], one.rows)
            if one.oldest is not None:
                ages.add_metric([one.kind], one.oldest)
        sends.add_metric([], sending)
        send_age.add_metric([], oldest)
        return [up, rows, ages, sends, send_age]
