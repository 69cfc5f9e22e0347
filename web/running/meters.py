"""What is counted and timed while the site runs, under names any Prometheus server reads.

Base units and `_total` as its naming guide has them (prometheus.io/docs/practices/naming). Every
label has few values: route names, never paths; methods and verdicts of a fixed list.
"""

from __future__ import annotations

import os
from typing import Final

from prometheus_client import CollectorRegistry, Counter, Histogram

from .meters_shared import FOLDER

#: Ours alone: nothing of the interpreter or the machine is told.
OURS: Final = CollectorRegistry()
#: Where other processes count too; prometheus_client decides it for good when it is imported.
SHARED: Final = os.environ.get(FOLDER)
SECONDS: Final = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10)
#: An order may take up to the time limit of a worker.
TASK_SECONDS: Final = (0.1, 0.25, 0.5, 1, 2.5, 5, 10, 20, 30, 50)

REQUESTS = Counter(
    "drawbag_http_requests",
    "Requests answered.",
    ["route", "method", "status"],
    registry=OURS,
)
REQUEST_SECONDS = Histogram(
    "drawbag_http_request_duration_seconds",
    "From a request's first byte in this process to the end of its view.",
    ["route", "method"],
    buckets=SECONDS,
    registry=OURS,
)
FACTS = Counter(
    "drawbag_facts",
    "Facts handed in by phones, by what became of them.",
    ["outcome"],
    registry=OURS,
)
PUSH_BYTES = Histogram(
    "drawbag_sync_push_size_bytes",
    "Size of a push as it was sent, packed or not.",
    ["packing"],
    buckets=(1_000, 4_000, 16_000, 64_000, 256_000),
    registry=OURS,
)
PUSH_FACTS = Histogram(
    "drawbag_sync_push_facts",
    "Facts in one push.",
    ["packing"],
    buckets=(1, 5, 20, 100, 500),
    registry=OURS,
)
TASKS = Counter(
    "drawbag_tasks",
    "What workers did, by how it ended.",
    ["task", "result"],
    registry=OURS,
)
TASK_SPENT = Histogram(
    "drawbag_task_duration_seconds",
    "Time a worker spent on one task.",
    ["task"],
    buckets=TASK_SECONDS,
    registry=OURS,
)
DATABASE_ERRORS = Counter(
    "drawbag_database_errors",
    "Statements the database did not carry out: busy when locked or in a deadlock, else other.",
    ["kind"],
    registry=OURS,
)
