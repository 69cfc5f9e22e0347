"""Write the bank app as phones get it: its files made small, and the service worker from its
template, with their hash in it."""

from __future__ import annotations

import hashlib
import json
import os
import posixpath
import re
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand
from django.utils.translation import gettext as _

from web.bank.small import small

BANK = Path(settings.BASE_DIR) / "web" / "bank"
SHELL = BANK / "shell"
PAGE = "/bank/"
# What the page names, and what a module imports as it loads: an `import()` is neither.
NAMED = re.compile(r'(?:href|src)="([^"]+)"')
IMPORTS = re.compile(
    r"""^(?:import|export)\b(?:[^"'();=]*?\bfrom)?\s*["'](\.[^"']+)["']""", re.MULTILINE
)
# A phone can start without these: licences, and icons that its own system keeps.
LEFT_OUT = frozenset({".txt", ".md", ".ts", ".png", ""})
BESIDE = ".part"  # a file half written
# What a file is told to be, once out of its pack: browsers run no module of another type.
TYPES = {".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml"}


def shell_files() -> dict[str, Path]:
    """Everything a phone keeps: address to file, in a fixed order."""
    found = {
        f"/static/bank/{path.relative_to(SHELL).as_posix()}": path
        for path in sorted(SHELL.rglob("*"))
        if path.is_file() and path.suffix not in LEFT_OUT and path.name != "index.html"
    }
    found[PAGE] = SHELL / "index.html"
    for shared in ("css/tokens.css", "js/look.js"):
        found[f"/static/{shared}"] = Path(settings.BASE_DIR) / "web/static" / shared
    return {address: path for address, path in found.items() if path.exists()}


def first_and_later(files: dict[str, Path]) -> tuple[list[str], list[str]]:
    """The two groups a phone fetches, in the order of `files`.

    First is the page, what it names, and every module those import; later is the rest, so a
    module that only an `import()` names comes after the first load.
    """
    named = [PAGE, *NAMED.findall(files[PAGE].read_text())]
    first: set[str] = set()
    while named:
        address = named.pop()
        if address in first or address not in files:
            continue
        first.add(address)
        if address.endswith(".js"):
            named += imported(address, files[address].read_text())
    return [a for a in files if a in first], [a for a in files if a not in first]


def imported(address: str, text: str) -> list[str]:
    """The addresses of the modules that a module of this address imports as it loads."""
    return [
        posixpath.normpath(posixpath.join(posixpath.dirname(address), relative))
        for relative in IMPORTS.findall(text)
    ]


def served(path: Path) -> bytes:
    """What a phone gets of a file. Modules of others come small, and stay as they were checked."""
    ours = path.suffix == ".js" and SHELL in path.parents and path.parent.name != "vendor"
    return small(path.read_bytes()) if ours else path.read_bytes()


def build_id(files: dict[str, Path], template: str) -> str:
    """Twelve hex digits that change when any byte of the app does."""
    digest = hashlib.sha256(template.encode())
    for address, path in files.items():
        digest.update(address.encode() + b"\0" + hashlib.sha256(served(path)).digest())
    return digest.hexdigest()[:12]


def packs() -> dict[str, tuple[str, list[str], bytes]]:
    """The two groups as a phone fetches them: "first" and "later" to the address of the pack, the
    addresses in it, and its bytes.

    A pack is a JSON object of address to [media type, text]: one thing to fetch where signal is
    poor, and smaller on the way than its files one by one. The page stays beside it.
    """
    files = shell_files()
    made = {}
    for name, group in zip(("first", "later"), first_and_later(files), strict=True):
        packed = {
            a: [TYPES[files[a].suffix], served(files[a]).decode()] for a in group if a != PAGE
        }
        text = json.dumps(packed, ensure_ascii=False, separators=(",", ":"))
        made[name] = (f"/static/bank/{name}.json", group, text.encode())
    return made


def group_sum(bodies: list[bytes]) -> str:
    """What the worker compares what it fetched with: the SHA-256 of the SHA-256 of each body."""
    return hashlib.sha256(b"".join(hashlib.sha256(body).digest() for body in bodies)).hexdigest()


def worker_text() -> tuple[str, str, int, int]:
    """The worker as it is to be, its build, and how many files come first and later."""
    template = (BANK / "serviceworker.template.js").read_text()
    files = shell_files()
    build = build_id(files, template)
    said: dict[str, Any] = {'"{{ build }}"': build}
    counts = []
    for name, (address, group, pack) in packs().items():
        beside = [served(files[PAGE])] if PAGE in group else []
        said |= {
            f'["{{{{ {name} }}}}"]': group,
            f'"{{{{ {name} pack }}}}"': address,
            f'"{{{{ {name} sum }}}}"': group_sum([*beside, pack]),
        }
        counts.append(len(group))
    text = template
    for place, value in said.items():
        text = text.replace(place, json.dumps(value, indent=2))
    return text, build, counts[0], counts[1]


def shell_write() -> None:
    """Write the shell as it is served and its packs, and take out what it no longer has."""
    built = settings.BANK_BUILT
    now = {path.relative_to(SHELL): served(path) for path in SHELL.rglob("*") if path.is_file()}
    now |= {Path(posixpath.basename(address)): pack for address, _group, pack in packs().values()}
    for relative, content in now.items():
        whole_write(built / relative, content)
    for path in [path for path in built.rglob("*") if path.is_file()]:
        if path.relative_to(built) not in now and not path.name.endswith(BESIDE):
            path.unlink(missing_ok=True)


def worker_write() -> tuple[str, int, int]:
    """Write the worker where the settings say it is. Returns the build and the files' counts."""
    text, build, first, later = worker_text()
    whole_write(Path(settings.PWA_SERVICE_WORKER_PATH), text.encode())
    return build, first, later


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
        shell_write()
        build, first, later = worker_write()
        if options["verbosity"]:
            self.stdout.write(
                _(
                    "Bank app: build %(build)s, %(first)d files to start with and %(later)d that "
                    "come later kept on the phone."
                )
                % {"build": build, "first": first, "later": later}
            )
