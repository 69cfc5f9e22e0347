"""An empty SQLite database with every migration done, made once for all benches.

As a program it prints where that is, and makes it where it is not.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[2]
MIGRATED: Final = "DRAWBAG_BENCH_MIGRATED"


def migrated_file() -> Path:
    """As the environment says, else asked for in a process of its own."""
    if kept := os.environ.get(MIGRATED):
        return Path(kept)
    told = subprocess.run(
        [sys.executable, "-m", "tests.bench.migrated"],
        cwd=ROOT,
        env={k: v for k, v in os.environ.items() if k not in ("VAR_DIR", "DATABASE_URL")},
        stdout=subprocess.PIPE,
        text=True,
        check=True,
    )
    return Path(told.stdout.strip().splitlines()[-1])


def _made() -> Path:
    os.environ["DATABASE_URL"] = "sqlite://:memory:"
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
    import django

    django.setup()
    from django.core.management import call_command

    from tests.migrated import kept_file, kept_is_made

    if not kept_file().exists():
        call_command("migrate", verbosity=0)
        kept_is_made()
    return kept_file()


if __name__ == "__main__":
    print(_made())
