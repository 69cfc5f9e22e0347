"""What a worker does for the machine, not for a club."""

from __future__ import annotations

from pathlib import Path

from celery import shared_task
from django.conf import settings

from matches.writes.attempts import attempts_sweep
from web.copies import copies_thin, copy_take

COPY_SECONDS = 3600


@shared_task(name="web.tasks.nightly_copy", time_limit=COPY_SECONDS)  # type: ignore[untyped-decorator]
def nightly_copy() -> None:
    """Copy the database into the folder of copies, then drop those that are too many."""
    folder = Path(settings.COPIES_DIR)
    folder.mkdir(parents=True, exist_ok=True)
    copy_take(folder)
    copies_thin(folder, keep=settings.COPIES_KEEP)


@shared_task(name="web.tasks.door_sweep")  # type: ignore[untyped-decorator]
def door_sweep() -> None:
    """Drop what guards the door no more: counts of tries a day old."""
    attempts_sweep()
