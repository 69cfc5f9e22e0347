"""What is done by the clock: tasks that beat asks for."""

from __future__ import annotations

from celery.schedules import crontab

HOUR = 3600.0


def beat_schedule(*, copies: bool, letters: bool) -> dict[str, dict[str, object]]:
    """Celery's schedule, the times of day in UTC. `copies`: a folder for nightly copies is named;
    `letters`: mail is set up."""
    tasks = {
        "work-sweep": _every("bait.tasks.work_sweep", 5.0),
        "delivery-sweep": _every("web.tasks.delivery_sweep", 15.0),
        "files-sweep": _every("web.tasks.files_sweep", HOUR),
        "door-sweep": _every("web.tasks.door_sweep", HOUR),
        "alerts-look": _every("web.tasks.alerts_look", HOUR / 4),
        "keep-no-longer": _nightly("web.tasks.keep_no_longer", crontab(hour=3, minute=20)),
    }
    if copies:
        tasks["nightly-copy"] = _nightly("web.tasks.nightly_copy", crontab(hour=2, minute=40))
    if letters:
        tasks["letters-send"] = _every("web.tasks.letters_send", 10.0)
    return tasks


def _every(task: str, seconds: float) -> dict[str, object]:
    """Expires, so that sweeps do not heap up while no worker runs."""
    return {"task": task, "schedule": seconds, "options": {"expires": seconds}}


def _nightly(task: str, at: crontab) -> dict[str, object]:
    """Expires in the day: a worker that comes back late leaves it to the next night."""
    return {"task": task, "schedule": at, "options": {"expires": 12 * HOUR}}
