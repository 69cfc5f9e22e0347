"""Write the bank app's service worker from its template, with the shell's hash in it."""

from __future__ import annotations

import hashlib
import json
import os
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand
from django.utils.translation import gettext as _

BANK = Path(settings.BASE_DIR) / "web" / "bank"
SHELL = BANK / "shell"
# A phone can start without these: licences, and icons that its own system keeps.
LEFT_OUT = frozenset({".txt", ".md", ".ts", ".png", ""})


def shell_files() -> dict[str, Path]:
    """What a phone needs to start without signal: address to file, in a fixed order."""
    found = {
        f"/static/bank/{path.relative_to(SHELL).as_posix()}": path
        for path in sorted(SHELL.rglob("*"))
        if path.is_file() and path.suffix not in LEFT_OUT and path.name != "index.html"
    }
    found["/bank/"] = SHELL / "index.html"
    found["/static/css/tokens.css"] = Path(settings.BASE_DIR) / "web/static/css/tokens.css"
    return {address: path for address, path in found.items() if path.exists()}


def build_id(files: dict[str, Path], template: str) -> str:
    """Twelve hex digits that change when any byte of the app does."""
    digest = hashlib.sha256(template.encode())
    for address, path in files.items():
        digest.update(address.encode() + b"\0" + hashlib.sha256(path.read_bytes()).digest())
    return digest.hexdigest()[:12]


def worker_write() -> tuple[str, int]:
    """Write the worker where the settings say it is. Returns the build and the file count."""
    template = (BANK / "serviceworker.template.js").read_text()
    files = shell_files()
    build = build_id(files, template)
    written = template.replace('"{{ build }}"', json.dumps(build)).replace(
        '["{{ files }}"]', json.dumps(list(files), indent=2)
    )
    target = Path(settings.PWA_SERVICE_WORKER_PATH)
    target.parent.mkdir(parents=True, exist_ok=True)
    # Whole or not at all: a server may be reading it.
    beside = target.with_name(f"{target.name}.{os.getpid()}")
    beside.write_text(written)
    beside.replace(target)
    return build, len(files)


class Command(BaseCommand):
    help = "Write the bank app's service worker (its build is the hash of the shell's files)."

    def handle(self, *args: Any, **options: Any) -> None:
        build, count = worker_write()
        if options["verbosity"]:
            self.stdout.write(
                _("Bank app: build %(build)s, %(count)d files kept on the phone.")
                % {"build": build, "count": count}
            )
