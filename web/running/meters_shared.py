"""The folder in which several processes of one machine count together."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Final

FOLDER: Final = "PROMETHEUS_MULTIPROC_DIR"
_FILE = re.compile(r"\w+_(\d+)\.db")


def meters_share(var_dir: Path) -> Path:
    """Let this process count beside the others. Before prometheus_client is imported.

    The folder belongs to one machine or container: files bear process numbers.
    """
    folder = Path(os.environ.setdefault(FOLDER, str(var_dir / "metrics")))
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def meters_tidy(folder: Path) -> None:
    """Drop what processes counted that run no more; a reader takes that as a counter begun anew."""
    for file in folder.glob("*.db"):
        found = _FILE.fullmatch(file.name)
        if found and not _lives(int(found[1])):
            file.unlink(missing_ok=True)


def _lives(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True
