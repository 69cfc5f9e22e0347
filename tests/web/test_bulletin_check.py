"""A bulletin's file, byte for byte what was digested, checked by the command."""

from __future__ import annotations

import hashlib
import json
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.test import Client

from matches.writes.bulletins import bulletin_publish

pytestmark = pytest.mark.django_db


@pytest.fixture
def file(world: Any, tmp_path: Path) -> Path:
    """The first bulletin's JSON as anybody loads it."""
    angler = world.entries["Maud"].angler
    angler.name = "Maud Ferrís"
    angler.save()
    bulletin_publish(world.secretary, match=world.match)
    path = tmp_path / "june-open-1.json"
    answer = Client(HTTP_HOST="localhost").get("/board/otterbeck/june-open/1/result.json")
    path.write_bytes(answer.content)
    return path


def check(file: Path) -> str:
    out = StringIO()
    call_command("bulletin_check", str(file), stdout=out)
    return out.getvalue()


def test_the_file_as_loaded_has_the_digest_the_page_shows(world: Any, file: Path) -> None:
    digest = world.match.bulletins.get().digest
    assert hashlib.sha256(file.read_bytes()).hexdigest() == digest
    told = check(file)
    assert f"SHA-256 {digest}" in told
    assert "bulletin 1 of June Open, Otterbeck Piscatorials" in told


def test_one_changed_character_is_found(file: Path) -> None:
    file.write_text(file.read_text().replace("Perrin", "Perron"))
    with pytest.raises(CommandError, match="It was changed"):
        check(file)


def test_a_file_written_anew_is_told_apart_from_a_changed_one(file: Path) -> None:
    file.write_text(json.dumps(json.loads(file.read_text()), indent=2))
    with pytest.raises(CommandError, match="written anew by another program"):
        check(file)


def test_a_file_cut_short_and_one_that_is_not_there_are_told(file: Path) -> None:
    file.write_bytes(file.read_bytes()[:100])
    with pytest.raises(CommandError, match="no JSON"):
        check(file)
    with pytest.raises(CommandError, match="cannot be read"):
        check(file.with_name("none.json"))
