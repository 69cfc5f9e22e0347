"""The files for running it big name only what is there: settings, commands, files."""

from __future__ import annotations

import re
import runpy
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import gunicorn.http.wsgi
import pytest
import yaml
from django.core.management import get_commands

ROOT = Path(__file__).parents[2]
DEPLOY = ROOT / "web/deploy"
PROGRAMS = Path(sys.executable).parent
#: Read by gunicorn itself (its manual, "workers").
NOT_OURS = {"WEB_CONCURRENCY"}
UNITS = sorted(DEPLOY.glob("*.service"))


def known_settings() -> set[str]:
    told = re.findall(r"^\| `(\w+)` \|", (ROOT / "README.md").read_text(), re.MULTILINE)
    code = (ROOT / "web/settings.py").read_text()
    return {name for name in told if f'"{name}"' in code}


def services() -> dict[str, Any]:
    """Those of the compose file that run our own code."""
    compose = yaml.safe_load((DEPLOY / "compose.yaml").read_text())
    found: dict[str, Any] = compose["services"]
    return {name: one for name, one in found.items() if one["image"] == "drawbag"}


def commands() -> Iterator[list[str]]:
    yield from (one["command"] for one in services().values())
    for unit in UNITS:
        started = re.findall(r"^ExecStart=(.*)$", unit.read_text(), re.MULTILINE)
        yield from (line.removeprefix("/opt/drawbag/.venv/bin/").split() for line in started)
    yield from map(
        yaml.safe_load, re.findall(r"^CMD (.*)$", (DEPLOY / "Dockerfile").read_text(), re.MULTILINE)
    )


def test_every_setting_that_is_named_is_one_the_site_reads() -> None:
    named = {name for one in services().values() for name in one["environment"]}
    named |= set(re.findall(r"^(\w+)=", (DEPLOY / "drawbag.env").read_text(), re.MULTILINE))
    for unit in UNITS:
        named |= set(re.findall(r"^Environment=(\w+)=", unit.read_text(), re.MULTILINE))
    assert {"DATABASE_URL", "BROKER_URL", "CACHE_URL"} <= named
    assert named - NOT_OURS <= known_settings()


def test_every_command_and_file_that_is_named_is_there() -> None:
    found = list(commands())
    assert len(found) == 8
    for command in found:
        assert (PROGRAMS / command[0]).exists()
        if command[0] == "python":
            assert (ROOT / command[1]).exists() and command[2] in get_commands()
        for word in command:
            assert "/" not in word or ":" in word or (ROOT / word).exists(), command


def test_what_the_image_is_made_of_is_there_and_is_let_in() -> None:
    let_in = (DEPLOY / "Dockerfile.dockerignore").read_text().splitlines()
    copied = re.findall(r"^COPY (?!--)(.*)$", (DEPLOY / "Dockerfile").read_text(), re.MULTILINE)
    names = [name for line in copied for name in line.split()[:-1]]
    assert len(names) >= 5
    for name in names:
        assert (ROOT / name).exists() and f"!{name}" in let_in
    assert "\nUSER drawbag\n" in (DEPLOY / "Dockerfile").read_text()


def test_gunicorn_does_not_say_what_it_is_and_opens_no_door_of_its_own() -> None:
    told = runpy.run_path(str(DEPLOY / "gunicorn.conf.py"))
    assert gunicorn.http.wsgi.SERVER == "drawbag"
    assert told["control_socket_disable"] is True


def test_only_one_beat_is_started() -> None:
    assert "deploy" not in services()["beat"]
    assert {one["deploy"]["replicas"] for one in services().values() if "deploy" in one} == {2}


@pytest.mark.skipif(not shutil.which("systemd-analyze"), reason="systemd is not installed here")
def test_units_have_nothing_that_systemd_does_not_know(tmp_path: Path) -> None:
    for unit in UNITS:
        there = unit.read_text().replace("/opt/drawbag/.venv/bin", str(PROGRAMS))
        (tmp_path / unit.name).write_text(there)
    words = ["systemd-analyze", "verify", "--man=no"]
    for unit in UNITS:
        ended = subprocess.run(
            [*words, tmp_path / unit.name], capture_output=True, text=True, check=False
        )
        assert (ended.returncode, ended.stdout + ended.stderr) == (0, "")
