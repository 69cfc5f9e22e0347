"""A copy as a file: a zip (APPNOTE 6.3) of `manifest.json` and the one part it tells of.

The manifest says when it was taken, by which build, of which kind of database, with which
migrations, how many rows each table has, and the size and SHA-256 of the part.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import zipfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from django.utils.translation import gettext as _

FORM = "drawbag copy 1"
MANIFEST = "manifest.json"
PARTS = {"sqlite": "database.sqlite3", "postgresql": "database.dump"}
MANIFEST_BYTES = 1_048_576
CHUNK = 1_048_576
WAYS = {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}
ENCRYPTED = 0x1  # APPNOTE 4.4.4, bit 0


class CopyFault(Exception):
    """Why a copy cannot be taken or put back, in words for who runs the machine."""


@dataclass(frozen=True, slots=True)
class Contents:
    """What a database holds: the migrations applied as "app.name", and the rows of each table."""

    migrations: list[str]
    rows: dict[str, int]


@dataclass(frozen=True, slots=True)
class Opened:
    """A copy as a new database: its address, what it holds, and `switch`, which puts what it holds
    by then into the database in use or raises CopyFault with nothing changed."""

    address: str
    held: Contents
    switch: Callable[[], None]


@dataclass(frozen=True, slots=True)
class Manifest:
    """What a copy says of itself; `taken_at` is ISO 8601 in UTC, `size` bytes of the part."""

    form: str
    taken_at: str
    build: str
    kind: str
    migrations: list[str]
    rows: dict[str, int]
    size: int
    sha256: str

    @property
    def contents(self) -> Contents:
        return Contents(self.migrations, self.rows)


def digest_of(file: Path) -> str:
    """SHA-256 (FIPS 180-4) of a file in lower-case hex."""
    with file.open("rb") as read:
        return hashlib.file_digest(read, "sha256").hexdigest()


def copy_write(file: Path, *, manifest: Manifest, part: Path) -> None:
    """Write a copy to a file that is not there yet, onto the disk."""
    with os.fdopen(os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as out:
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as whole:
            whole.writestr(MANIFEST, json.dumps(asdict(manifest), indent=1))
            whole.write(part, PARTS[manifest.kind])
        out.flush()
        os.fsync(out.fileno())


def copy_prove(file: Path, *, to: Path | None = None) -> Manifest:
    """Read a copy whole and hold it against its manifest; its part goes to `to`, if given.

    Nothing but the two names is ever read, and no more than the manifest says. Raises CopyFault.
    """
    try:
        with zipfile.ZipFile(file) as whole:
            manifest = _manifest(whole)
            _part_read(whole, manifest, to)
            return manifest
    except OSError as error:
        raise CopyFault(
            _("%(file)s cannot be read: %(why)s") % {"file": file, "why": error.strerror or error}
        ) from None
    except (zipfile.BadZipFile, zlib.error, EOFError, ValueError, NotImplementedError):
        raise CopyFault(
            _("%s is no copy, or damaged, or only half of one. Take another copy.") % file
        ) from None


def _manifest(whole: zipfile.ZipFile) -> Manifest:
    infos = whole.infolist()
    names = sorted(info.filename for info in infos)
    if MANIFEST not in names:
        raise CopyFault(_("This is a zip of something else: it has no manifest."))
    if any(i.flag_bits & ENCRYPTED or i.compress_type not in WAYS for i in infos):
        raise CopyFault(_("This zip is packed in a way that ours are not."))
    with whole.open(MANIFEST) as read:
        text = read.read(MANIFEST_BYTES + 1)
    if len(text) > MANIFEST_BYTES:
        raise CopyFault(_("The manifest is far too long for one of ours."))
    manifest = _manifest_parse(json.loads(text))
    if names != sorted([MANIFEST, PARTS[manifest.kind]]):
        raise CopyFault(_("This zip holds other files than a copy has."))
    return manifest


def _manifest_parse(said: Any) -> Manifest:
    if not isinstance(said, dict) or said.get("form") != FORM:
        raise CopyFault(_("This is a zip of something else: its manifest is not one of ours."))
    if set(said) != set(Manifest.__slots__) or not _fits(said):
        raise CopyFault(_("The manifest was changed: it does not say what ours say."))
    return Manifest(**said)


def _fits(said: dict[str, Any]) -> bool:
    words = all(isinstance(said[key], str) for key in ("taken_at", "build", "kind", "sha256"))
    numbers = [said["size"], *(said["rows"].values() if isinstance(said["rows"], dict) else [None])]
    return (
        words
        and said["kind"] in PARTS
        and all(type(number) is int and number >= 0 for number in numbers)
        and isinstance(said["migrations"], list)
        and all(isinstance(name, str) for name in said["migrations"])
    )


def _part_read(whole: zipfile.ZipFile, manifest: Manifest, to: Path | None) -> None:
    name = PARTS[manifest.kind]
    if whole.getinfo(name).file_size != manifest.size:
        raise CopyFault(_("%s is not as long as the manifest says.") % name)
    if to is not None and shutil.disk_usage(to.parent).free < manifest.size:
        raise CopyFault(
            _("There is no room for %(size)s in %(folder)s.")
            % {"size": size_words(manifest.size), "folder": to.parent}
        )
    digest = hashlib.sha256()
    with _sink(to) as out, whole.open(name) as read:
        while chunk := read.read(CHUNK):
            digest.update(chunk)
            out.write(chunk)
    if digest.hexdigest() != manifest.sha256:
        raise CopyFault(_("%s is not what the manifest says: its SHA-256 differs.") % name)


@contextmanager
def _sink(to: Path | None) -> Iterator[Any]:
    flags = os.O_CREAT | os.O_EXCL | os.O_WRONLY
    where = os.open(os.devnull, os.O_WRONLY) if to is None else os.open(to, flags, 0o600)
    with os.fdopen(where, "wb") as out:
        yield out


def size_words(size: int) -> str:
    """Bytes as people say them: "412 kB", "3.1 MB"."""
    if size < 1_000_000:
        return _("%d kB") % max(1, round(size / 1000))
    return _("%.1f MB") % (size / 1_000_000)
