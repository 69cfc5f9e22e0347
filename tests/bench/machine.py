"""What a run was made on, in words."""

from __future__ import annotations

import os
import platform
import re
import sqlite3
import subprocess
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

PACKAGES = ("django", "numpy", "scipy", "pandas", "ortools", "fluids", "pycrdt", "gunicorn")


def machine_words(*, postgres: str | None, chromium: str | None) -> str:
    """Processors, memory, load, and the version of everything that is measured or compared with.
    `postgres`, `chromium`: their programs."""
    model = _first(r"model name\s*: (.*)", Path("/proc/cpuinfo")) or platform.machine()
    memory = int(_first(r"MemTotal:\s*(\d+)", Path("/proc/meminfo")) or 0) // 1024**2
    load = " ".join(f"{n:.1f}" for n in os.getloadavg())
    parts = [f"Python {platform.python_version()}", *map(_package, PACKAGES)]
    parts += [f"SQLite {sqlite3.sqlite_version}", _program(postgres, "PostgreSQL")]
    parts.append(_program(chromium, "Chromium"))
    return (
        f"{os.cpu_count()} processors ({model}), {memory} GiB of memory, load {load} as it began;"
        f" {', '.join(parts)}"
    )


def _package(name: str) -> str:
    try:
        return f"{name} {version(name)}"
    except PackageNotFoundError:
        return f"no {name}"


def _program(path: str | None, name: str) -> str:
    if not path:
        return f"no {name}"
    try:
        told = subprocess.run([path, "--version"], capture_output=True, text=True, timeout=60)
    except (OSError, subprocess.TimeoutExpired):
        return f"no {name}"
    found = re.search(r"\d+(\.\d+)+", told.stdout)
    return f"{name} {found[0]}" if found else name


def _first(pattern: str, file: Path) -> str | None:
    found = re.search(pattern, file.read_text()) if file.exists() else None
    return found[1] if found else None
