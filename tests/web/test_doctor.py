"""The doctor and the checks: a line each, and a way to mend it."""

from __future__ import annotations

import os
import subprocess
import sys
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.checks import run_checks
from django.core.management import call_command

from matches.models import WorkRequest
from web.settings import BASE_DIR


def doctor() -> tuple[list[str], int]:
    """The lines it says and its exit code."""
    said = StringIO()
    try:
        call_command("doctor", stdout=said)
    except SystemExit as end:
        return said.getvalue().splitlines(), int(str(end.code))
    return said.getvalue().splitlines(), 0


def about(subject: str, lines: list[str]) -> str:
    return next(line for line in lines if line[6:].startswith(subject))


@pytest.fixture
def built(settings: Any, tmp_path: Path, db: None) -> None:
    settings.PWA_SERVICE_WORKER_PATH = str(tmp_path / "serviceworker.js")
    call_command("bank_build", verbosity=0)


def test_sound_set_up_ends_with_nothing_wrong(built: None) -> None:
    lines, code = doctor()
    assert [line for line in lines if line.startswith("WRONG")] == []
    assert code == 0


def test_app_of_an_older_version_is_told(built: None, settings: Any) -> None:
    Path(settings.PWA_SERVICE_WORKER_PATH).write_text("older")
    lines, code = doctor()
    assert about("Bank app", lines).endswith("→ Run: manage.py bank_build")
    assert code == 1


def test_broker_that_is_down_is_told_and_not_waited_for(built: None, settings: Any) -> None:
    settings.CELERY_BROKER_URL = "redis://127.0.0.1:1/0"
    settings.CELERY_BROKER_TRANSPORT_OPTIONS = {}
    lines, code = doctor()
    assert about("Broker", lines).startswith("WRONG")
    assert code == 1


def test_work_that_nobody_takes_is_told(built: None, world: Any) -> None:
    import datetime as dt

    from django.utils import timezone

    row = WorkRequest.objects.create(club=world.club, kind="k", key="1")
    WorkRequest.objects.filter(pk=row.pk).update(asked_at=timezone.now() - dt.timedelta(minutes=2))
    lines, code = doctor()
    assert "1 waiting for more than a minute" in about("Work", lines)
    assert code == 1


def test_a_lot_changed_past_its_ledger_is_told(built: None, world: Any) -> None:
    from bait.models import LarderLot
    from tests.bait.conftest import lot_in

    for amount in ("0.1", "0.2", "0.7"):
        lot = lot_in(world, amount=amount)
    assert about("Larder", doctor()[0]).startswith("ok")
    LarderLot.objects.filter(pk=lot.pk).update(amount="0.8")
    lines, code = doctor()
    assert about("Larder", lines).startswith("WRONG") and f"Lots: {lot.pk}" in about(
        "Larder", lines
    )
    assert code == 1


@pytest.mark.parametrize(
    ("changed", "found"),
    [
        ({}, []),
        ({"SITE_URL": "http://club.example"}, ["drawbag.W001"]),
        ({"SITE_URL": "https://club.example/drawbag"}, ["drawbag.E001"]),
        ({"SITE_URL": "https://club.example", "DEBUG": True}, ["drawbag.E003"]),
        ({"SITE_URL": "https://club.example", "WEBHOOKS_LOCAL": True}, ["drawbag.E011"]),
        ({"WORK_LEASE_SECONDS": 50}, ["drawbag.E002"]),
    ],
)
def test_checks_know_the_usual_slips(
    settings: Any, changed: dict[str, Any], found: list[str]
) -> None:
    for name, value in changed.items():
        setattr(settings, name, value)
    assert [m.id for m in run_checks() if str(m.id).startswith("drawbag.")] == found


def test_copies_that_are_not_made_or_old_are_told(
    built: None, settings: Any, tmp_path: Path
) -> None:
    settings.COPIES_DIR = ""
    assert "COPIES_DIR" in about("Copies", doctor()[0])
    settings.COPIES_DIR = str(tmp_path / "copies")
    assert "none is there yet" in about("Copies", doctor()[0])
    made = tmp_path / "copies" / "drawbag-20260620-024000.zip"
    made.parent.mkdir()
    made.touch()
    assert about("Copies", doctor()[0]) == f"ok    Copies: {made.name}"
    os.utime(made, (0, 0))
    lines, code = doctor()
    assert about("Copies", lines).startswith("WRONG") and code == 1


@pytest.mark.parametrize(("folder", "planned"), [("", False), ("/copies", True)])
def test_nightly_copy_is_planned_only_where_a_folder_is_named(folder: str, planned: bool) -> None:
    asked = "from web import settings; print('nightly-copy' in settings.CELERY_BEAT_SCHEDULE)"
    said = subprocess.run(
        [sys.executable, "-c", asked],
        env=os.environ | {"COPIES_DIR": folder},
        cwd=BASE_DIR,
        capture_output=True,
        text=True,
        check=True,
    )
    assert said.stdout.strip() == str(planned)
