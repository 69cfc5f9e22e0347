"""Taking a copy, and dropping those that are too many."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from django.utils import timezone

from web.bank.packing import build_now

from . import folders, kinds, whole

NAME = re.compile(r"drawbag-\d{8}-\d{6}\.zip")


@dataclass(frozen=True, slots=True)
class Taken:
    """A copy that was read back and proved; `size` is the file's, in bytes."""

    file: Path
    manifest: whole.Manifest
    size: int


def copy_take(to: Path) -> Taken:
    """Write a copy into a folder, named by the time, or to a file that is not there yet.

    The file gets its name once it is whole, on the disk, and read back. Raises CopyFault.
    """
    now = timezone.now()
    file = to / f"drawbag-{now:%Y%m%d-%H%M%S}.zip" if to.is_dir() or not to.suffix else to
    if file.exists():
        raise folders.exists_already(file)
    kind = kinds.in_use()
    with folders.work_folder(file.parent) as folder:
        part, made = folder / whole.PARTS[kind.name], folder / "copy.zip"
        held = kind.dump(part)
        manifest = whole.Manifest(
            form=whole.FORM,
            taken_at=now.isoformat(timespec="seconds"),
            build=build_now(),
            kind=kind.name,
            migrations=held.migrations,
            rows=held.rows,
            size=part.stat().st_size,
            sha256=whole.digest_of(part),
        )
        whole.copy_write(made, manifest=manifest, part=part)
        whole.copy_prove(made)
        folders.named(made, name=file)
        return Taken(file, manifest, file.stat().st_size)


def copies_in(folder: Path) -> list[Path]:
    """The copies of a folder that were named by their time, the oldest first."""
    return sorted(path for path in folder.glob("*") if NAME.fullmatch(path.name))


def copies_thin(folder: Path, *, keep: int) -> list[Path]:
    """Drop all but the newest `keep` (1 or more) of these; those dropped."""
    old = copies_in(folder)[:-keep]
    for path in old:
        path.unlink()
    return old
