"""Write the bank app as phones get it: its files made small, and the service worker from its
template, with their hash in it."""

from __future__ import annotations

import hashlib
import json
import os
import posixpath
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand
from django.utils.translation import gettext as _

from web.bank.packing import PAGE, SHELL, TEMPLATE, Pack, build_id, packs, served, shell_files

BESIDE = ".part"  # a file half written


def shell_write(packed: dict[str, Pack]) -> None:
    """Write the shell as it is served and its packs, and take out what it no longer has."""
    built = settings.BANK_BUILT
    now = {path.relative_to(SHELL): served(path) for path in SHELL.rglob("*") if path.is_file()}
    now |= {Path(posixpath.basename(pack.address)): pack.content for pack in packed.values()}
    for relative, content in now.items():
        whole_write(built / relative, content)
    for path in [path for path in built.rglob("*") if path.is_file()]:
        if path.relative_to(built) not in now and not path.name.endswith(BESIDE):
            path.unlink(missing_ok=True)


def worker_text(files: dict[str, Path], packed: dict[str, Pack]) -> tuple[str, str]:
    """The worker as it is to be, and its build."""
    text = TEMPLATE.read_text()
    build = build_id(files, text)
    said: dict[str, Any] = {'"{{ build }}"': build}
    for name, pack in packed.items():
        beside = [served(files[PAGE])] if PAGE in pack.group else []
        said |= {
            f'["{{{{ {name} }}}}"]': pack.group,
            f'"{{{{ {name} pack }}}}"': pack.address,
            f'"{{{{ {name} sum }}}}"': group_sum([*beside, pack.content]),
        }
    for place, value in said.items():
        text = text.replace(place, json.dumps(value, indent=2))
    return text, build


def group_sum(bodies: list[bytes]) -> str:
    """What the worker compares what it fetched with: the SHA-256 of the SHA-256 of each body."""
    return hashlib.sha256(b"".join(hashlib.sha256(body).digest() for body in bodies)).hexdigest()


def whole_write(target: Path, content: bytes) -> None:
    """Whole or not at all, as a server may be reading it; what is there already stays."""
    if target.exists() and target.read_bytes() == content:
        return
    target.parent.mkdir(parents=True, exist_ok=True)
    beside = target.with_name(f"{target.name}.{os.getpid()}{BESIDE}")
    beside.write_bytes(content)
    beside.replace(target)


class Command(BaseCommand):
    help = "Write the bank app as it is served, and its worker (the build is the files' hash)."

    def handle(self, *args: Any, **options: Any) -> None:
        files = shell_files()
        packed = packs(files)
        shell_write(packed)
        worker, build = worker_text(files, packed)
        whole_write(Path(settings.PWA_SERVICE_WORKER_PATH), worker.encode())
        if options["verbosity"]:
            self.stdout.write(
                _(
                    "Bank app: build %(build)s, %(first)d files to start with and %(later)d that "
                    "come later kept on the phone."
                )
                % {"build": build, **{name: len(pack.group) for name, pack in packed.items()}}
            )
