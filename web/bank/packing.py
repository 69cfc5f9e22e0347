"""What the bank app is made of, which of it a phone fetches first, and its packs and build."""

from __future__ import annotations

import hashlib
import json
import posixpath
import re
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings

from web.bank.small import small

BANK = Path(settings.BASE_DIR) / "web" / "bank"
SHELL = BANK / "shell"
TEMPLATE = BANK / "serviceworker.template.js"  # of the worker
PAGE = "/bank/"
# What the page names, and what a module imports as it loads: an `import()` is neither.
NAMED = re.compile(r'(?:href|src)="([^"]+)"')
IMPORTS = re.compile(
    r"""^(?:import|export)\b(?:[^"'();=]*?\bfrom)?\s*["'](\.[^"']+)["']""", re.MULTILINE
)
# A phone can start without these: licences, and icons that its own system keeps.
LEFT_OUT = frozenset({".txt", ".md", ".ts", ".png", ""})
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


def build_now() -> str:
    """The build of the app as its files are now."""
    return build_id(shell_files(), TEMPLATE.read_text())


@dataclass(frozen=True, slots=True)
class Pack:
    """One of the two groups as a phone fetches it: all that is in it, the page too, and what is
    written at `address`, a JSON object of address to [media type, text]: one thing to fetch where
    signal is poor, and smaller on the way than its files one by one. The page stays beside it."""

    address: str
    group: list[str]
    content: bytes


def packs(files: dict[str, Path]) -> dict[str, Pack]:
    """The packs called "first" and "later"."""
    made = {}
    for name, group in zip(("first", "later"), first_and_later(files), strict=True):
        packed = {
            a: [TYPES[files[a].suffix], served(files[a]).decode()] for a in group if a != PAGE
        }
        text = json.dumps(packed, ensure_ascii=False, separators=(",", ":"))
        made[name] = Pack(f"/static/bank/{name}.json", group, text.encode())
    return made
