"""What is unusual is told to whoever runs the site, in numbers."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from django.core import mail
from django.utils import timezone

from matches.models import Attempts, Person
from web.running.alerts import EVERY, MOST, alerts_look
from web.running.meters import OURS

pytestmark = pytest.mark.django_db
ROOT = Path(__file__).parents[2]


def tries(n: int, *, ago: Any = 0 * EVERY) -> None:
    Attempts.objects.create(key=f"k{n}{ago}", failures=n, last_at=timezone.now() - ago)


def test_tries_past_the_threshold_are_a_line_and_a_letter_to_the_keepers(
    world: Any, settings: Any, caplog: pytest.LogCaptureFixture
) -> None:
    settings.EMAIL_URL = "smtps://mail.example"
    keeper = Person.objects.create_superuser("keeper", email="keeper@club.example")
    tries(MOST["tries at the door"])
    tries(500, ago=2 * EVERY)
    assert (alerts_look(now=timezone.now()), mail.outbox) == ({}, [])
    tries(1)
    assert alerts_look(now=timezone.now()) == {"tries at the door": 61}
    (line,) = [one for one in caplog.records if one.name == "drawbag.alert"]
    assert (line.levelname, "61, more than 60" in line.getMessage()) == ("ERROR", True)
    (letter,) = mail.outbox
    assert (letter.to, "61 (60)" in letter.body) == ([keeper.email], True)


def test_every_meter_that_the_example_of_rules_names_is_counted() -> None:
    rules = yaml.safe_load((ROOT / "web/deploy/alerts.yaml").read_text())["groups"][0]["rules"]
    named = set(re.findall(r"drawbag_\w+", " ".join(rule["expr"] for rule in rules)))
    counted = {f"{family.name}_total" for family in OURS.collect()}
    assert named and named <= counted
