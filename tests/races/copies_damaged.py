"""Ways in which a copy is no whole copy of ours, each with the words it is refused in."""

from __future__ import annotations

import json
import shutil
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from matches.models import Club
from web.copies import CopyFault, copy_put_back, copy_take

Damage = tuple[Callable[[Path], None], str]


def damaged_refused(damages: Mapping[str, Damage], *, folder: Path) -> None:
    """A whole copy, damaged in each of these ways, is refused in the words of that way; nothing is
    touched, and no copy is made of what would be replaced."""
    whole, before = copy_take(folder / "whole.zip").file, folder / "before"
    epochs = set(Club.objects.values_list("epoch"))
    for damage, (change, words) in damages.items():
        copy = folder / "copy.zip"
        shutil.copy(whole, copy)
        change(copy)
        with pytest.raises(CopyFault, match=words):
            copy_put_back(copy, replace=True, before=before)
            pytest.fail(damage)
    assert set(Club.objects.values_list("epoch")) == epochs
    assert not before.exists() and not list(folder.rglob("evil*"))


def rewritten(file: Path, change: Callable[[dict[str, Any], dict[str, bytes]], None]) -> None:
    """The copy again, its manifest and its parts changed."""
    with zipfile.ZipFile(file) as whole:
        parts = {name: whole.read(name) for name in whole.namelist()}
    manifest = json.loads(parts.pop("manifest.json"))
    change(manifest, parts)
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as whole:
        whole.writestr("manifest.json", json.dumps(manifest))
        for name, content in parts.items():
            whole.writestr(name, content)


def cut(file: Path) -> None:
    file.write_bytes(file.read_bytes()[: file.stat().st_size // 2])


def turned(file: Path) -> None:
    said = bytearray(file.read_bytes())
    said[len(said) // 2] ^= 0x55
    file.write_bytes(said)


def told(**said: Any) -> Callable[[Path], None]:
    return lambda file: rewritten(file, lambda manifest, _parts: manifest.update(said))


def put(name: str, content: bytes) -> Callable[[Path], None]:
    return lambda file: rewritten(file, lambda _manifest, parts: parts.update({name: content}))


def of_another(file: Path) -> None:
    with zipfile.ZipFile(file, "w") as whole:
        whole.writestr("manifest.json", '{"files": []}')


DAMAGED: dict[str, tuple[Callable[[Path], None], str]] = {
    "half": (cut, "half of one"),
    "a byte turned": (turned, "damaged"),
    "empty": (lambda file: file.write_bytes(b""), "no copy"),
    "no zip": (lambda file: file.write_text("a letter"), "no copy"),
    "another's zip": (of_another, "something else"),
    "a path that climbs": (put("../../evil.sqlite3", b"x"), "other files"),
    "one file more": (put("secret_key", b"x"), "other files"),
    "wrong sum": (told(sha256="0" * 64), "SHA-256 differs"),
    "wrong size": (told(size=12), "not as long"),
    "inflates": (put("database.sqlite3", b"\0" * 50_000_000), "not as long"),
    "another kind": (told(kind="oracle"), "does not say what ours say"),
    "rows that are no numbers": (told(rows={"matches_fact": "1"}), "does not say what ours say"),
    "rows that are not there": (told(rows={"matches_fact": 7}), "not what its manifest says"),
    "of a newer build": (told(migrations=["matches.9999_later"]), "newer build"),
    "missing": (lambda file: file.unlink(), "cannot be read"),
}
