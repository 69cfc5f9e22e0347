"""What a worker does for the machine, not for a club."""

from __future__ import annotations

from pathlib import Path

from celery import shared_task
from django.conf import settings

from web.copies import copies_thin, copy_take

COPY_SECONDS = 3600


@shared_task(name="web.tasks.nightly_copy", time_limit=COPY_SECONDS)  # type: ignore[untyped-decorator]
def nightly_copy() -> None:
    """Copy the database into the folder of copies, then drop those that are too many."""
    folder = Path(settings.COPIES_DIR)
    folder.mkdir(parents=True, exist_ok=True)
    copy_take(folder)
    copies_thin(folder, keep=settings.COPIES_KEEP)
