"""A folder to work in that nobody takes for a copy, and a name that appears whole or not at all."""

from __future__ import annotations

import fcntl
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.utils.translation import gettext as _

from .whole import CopyFault

UNDONE = ".drawbag-*.part"


@contextmanager
def work_folder(beside: Path) -> Iterator[Path]:
    """A folder for us alone in `beside`, gone afterwards; what a killed one left goes first.

    Raises CopyFault where nothing can be written, or where another process is at it.
    """
    try:
        beside.mkdir(parents=True, exist_ok=True)
        lock = os.open(beside, os.O_RDONLY | os.O_DIRECTORY)
    except OSError as error:
        raise _not_there(beside, error) from None
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)  # the system lets go when we are killed
        for left in beside.glob(UNDONE):
            shutil.rmtree(left, ignore_errors=True)
        before, _star, after = UNDONE.partition("*")
        made = Path(tempfile.mkdtemp(dir=beside, prefix=before, suffix=after))
    except BlockingIOError:
        os.close(lock)
        raise CopyFault(_("Another copy is being made or put back in %s.") % beside) from None
    except OSError as error:
        os.close(lock)
        raise _not_there(beside, error) from None
    try:
        yield made
    finally:
        shutil.rmtree(made, ignore_errors=True)
        os.close(lock)


def named(made: Path, *, name: Path) -> None:
    """Give a file on the disk its name; never over another. Raises CopyFault."""
    try:
        os.link(made, name)
    except FileExistsError:
        raise exists_already(name) from None
    except OSError:  # a stick without hard links; the folder's lock keeps others of ours away
        if name.exists():
            raise exists_already(name) from None
        made.rename(name)
    folder = os.open(name.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)


def exists_already(name: Path) -> CopyFault:
    return CopyFault(_("%s is there already; a copy never writes over a file.") % name)


def _not_there(folder: Path, error: OSError) -> CopyFault:
    said = {"folder": folder, "why": error.strerror or error}
    return CopyFault(_("Nothing can be written in %(folder)s: %(why)s") % said)
