"""What a worker does for the machine, not for a club."""

from __future__ import annotations

from pathlib import Path
from uuid import UUID

from celery import shared_task
from django.conf import settings
from django.utils import timezone

from bait.writes.erasing import erasures_carry_out
from matches.writes.api_tokens import api_tokens_sweep
from matches.writes.attempts import attempts_sweep
from matches.writes.deliveries import DELIVERY_WORK, deliveries_sweep
from matches.writes.imports import import_files_sweep
from matches.writes.passwords import sessions_sweep
from matches.writes.retention import retention_apply
from web.copies import copies_thin, copy_take
from web.letters import letters_send as send
from web.running.alerts import alerts_look as look
from web.webhooks.messages import delivery_send as message_try

COPY_SECONDS = 3600
KEEP_SECONDS = 1800


@shared_task(name="web.tasks.nightly_copy", time_limit=COPY_SECONDS)  # type: ignore[untyped-decorator]
def nightly_copy() -> None:
    """Copy the database into the folder of copies, then drop those that are too many."""
    folder = Path(settings.COPIES_DIR)
    folder.mkdir(parents=True, exist_ok=True)
    copy_take(folder)
    copies_thin(folder, keep=settings.COPIES_KEEP)


@shared_task(name="web.tasks.letters_send")  # type: ignore[untyped-decorator]
def letters_send() -> None:
    """Send the letters that are due."""
    send()


@shared_task(name="web.tasks.door_sweep")  # type: ignore[untyped-decorator]
def door_sweep() -> None:
    """Drop what guards the door no more: counts of tries a day old, sessions and tokens long
    over."""
    attempts_sweep()
    sessions_sweep()
    api_tokens_sweep()


@shared_task(name=DELIVERY_WORK)  # type: ignore[untyped-decorator]
def delivery_send(delivery_id: str) -> None:
    """Try one message to one address, if it is due; harmless when it was taken already."""
    message_try(UUID(delivery_id))


@shared_task(name="web.tasks.delivery_sweep")  # type: ignore[untyped-decorator]
def delivery_sweep() -> None:
    """Wake workers for messages that were missed or are to be tried again."""
    deliveries_sweep()


@shared_task(name="web.tasks.files_sweep")  # type: ignore[untyped-decorator]
def files_sweep() -> None:
    """Forget files that were looked at and not imported for a day."""
    import_files_sweep()


@shared_task(name="web.tasks.keep_no_longer", time_limit=KEEP_SECONDS)  # type: ignore[untyped-decorator]
def keep_no_longer() -> None:
    """Erase whoever asked for it and had time to think, and let go of what is too old."""
    erasures_carry_out()
    retention_apply(days=settings.KEPT_DAYS, now=timezone.now())


@shared_task(name="web.tasks.alerts_look")  # type: ignore[untyped-decorator]
def alerts_look() -> None:
    """Tell the keepers of what is unusual."""
    look(now=timezone.now())
