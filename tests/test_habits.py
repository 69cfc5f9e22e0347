"""Rules of this code that a program can check. Each failure lists where to look."""

from __future__ import annotations

import ast
import hashlib
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
ROOMS = ("matches", "bait", "web")
PURE = {"__future__", "bait", "matches", "numpy", "openpyxl", "scipy", *sys.stdlib_module_names}
IMPURE = {"os", "socket", "subprocess", "random", "urllib", "http", "sqlite3", "threading"}
FUNCTION_MOST, FILE_MOST = 60, 350


def ours(*suffixes: str, under: str = ".") -> list[Path]:
    """The files that git keeps, and those about to be kept, but not vendored ones."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z", "--", under],
        cwd=ROOT,
        capture_output=True,
        check=True,
    )
    paths = (ROOT / name for name in listed.stdout.decode().split("\0") if name)
    return sorted(
        path
        for path in paths
        if path.suffix in suffixes and path.is_file() and "vendor" not in path.parts
    )


def where(path: Path, line: int, text: str) -> str:
    return f"{path.relative_to(ROOT)}:{line}: {text.strip()[:100]}"


def lines_with(pattern: str, paths: list[Path]) -> list[str]:
    wanted = re.compile(pattern)
    return [
        where(path, n, line)
        for path in paths
        for n, line in enumerate(path.read_text(errors="replace").splitlines(), 1)
        if wanted.search(line)
    ]


def imports_of(path: Path) -> Iterator[tuple[int, str]]:
    """Every module a file imports from outside its own folder, with its line."""
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            yield node.lineno, node.module


def test_reckoning_imports_only_plain_python_and_libraries_that_only_reckon() -> None:
    found = []
    for room in ("matches", "bait"):
        for path in ours(".py", under=f"{room}/reckon"):
            for line, module in imports_of(path):
                first, _, rest = module.partition(".")
                own = first in ("matches", "bait") and not rest.startswith("reckon")
                if first not in PURE or first in IMPURE or own:
                    found.append(where(path, line, module))
    assert found == []


def test_match_room_knows_nothing_of_bait_and_nobody_knows_the_web() -> None:
    found = [
        where(path, line, module)
        for room, strangers in (("matches", {"bait", "web"}), ("bait", {"web"}))
        for path in ours(".py", under=room)
        for line, module in imports_of(path)
        if module.split(".")[0] in strangers
    ]
    assert found == []


def test_import_rules_hold() -> None:
    ended = subprocess.run(
        [str(Path(sys.executable).parent / "lint-imports"), "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    assert ended.returncode == 0, ended.stdout


def test_migrations_have_names_made_by_hand() -> None:
    automatic = re.compile(r"^\d{4}_(auto_|alter_|remove_|rename_|initial$|.*_and_more$)")
    names = [p for room in ROOMS for p in ours(".py", under=room) if p.parent.name == "migrations"]
    assert len(names) > 2
    assert [p.name for p in names if automatic.search(p.stem)] == []


def test_migrations_import_nothing_of_the_rooms() -> None:
    """A data migration works on the tables of its day, not on the code of tomorrow."""
    found = [
        where(path, line, module)
        for room in ROOMS
        for path in ours(".py", under=f"{room}")
        if path.parent.name == "migrations"
        for line, module in imports_of(path)
        if module.split(".")[0] in ROOMS and not re.fullmatch(r"matches\.models(\.\w+)?", module)
    ]
    assert found == []


def test_no_html_is_put_together_unescaped() -> None:
    pattern = r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|unsafeHTML|\|\s*safe\b"
    pattern += r"|mark_safe|autoescape off|SafeString"
    assert lines_with(pattern, ours(".html", ".js", ".mjs", ".py", under="web")) == []
    for room in ("matches", "bait"):
        assert lines_with(r"mark_safe|SafeString", ours(".py", under=room)) == []


def test_pages_hold_no_script_or_style_of_their_own() -> None:
    pages = ours(".html", under="web")
    assert len(pages) > 5
    assert lines_with(r"<style|\sstyle=|\son[a-z]+=|javascript:", pages) == []
    assert lines_with(r"<script(?![^>]*\ssrc=)", pages) == []


def test_policy_for_pages_allows_our_own_files_only() -> None:
    from django.conf import settings

    directives = settings.CONTENT_SECURITY_POLICY["DIRECTIVES"]
    assert directives["default-src"] == ["'none'"]
    for name in ("script-src", "style-src", "connect-src", "worker-src"):
        assert directives[name] == ["'self'"]


def test_no_address_of_a_registry_or_path_of_a_machine_is_kept() -> None:
    registries = (
        r"pypi\." + "org",
        "python" + "hosted",
        r"registry\." + "npmjs",
        "--index-" + "url ",
    )
    places = (r"(?<![\w.])/" + r"work/", r"(?<![\w.])/" + "root/", r"/home/" + r"[a-z]")
    kept = ours(".py", ".md", ".toml", ".txt", ".json", ".sh", ".html", ".js", ".mjs", ".css", "")
    assert lines_with("|".join((*registries, *places)), kept) == []


def test_views_fetch_through_reads() -> None:
    """`.objects` in a view would be a second door beside `reads`, without its lock."""
    views = [p for p in ours(".py", under="web") if p.parts[-2] in ("desk", "board", "api", "sync")]
    assert len(views) > 5
    assert lines_with(r"\.objects\.get\(|get_object_or_404", views) == []


def test_nothing_is_done_in_signals_or_on_save() -> None:
    code = [p for room in ROOMS for p in ours(".py", under=room)]
    assert lines_with(r"post_save|pre_save|def save\(self", code) == []


def test_nothing_sleeps_in_tests() -> None:
    """Only races and engines look again and again, up to a deadline, at what others do."""
    watching = ("tests", "races", "engines")
    tests = [p for p in ours(".py", under="tests") if p.parent.name not in watching]
    assert lines_with(r"\btime\.sleep\(|wait_for_timeout\(", tests) == []


@pytest.mark.parametrize("name", ["requirements.txt", "requirements-test.txt"])
def test_requirements_are_pinned_hashed_and_without_addresses(name: str) -> None:
    text = (ROOT / name).read_text()
    assert "://" not in text
    assert re.findall(r"^--", text, re.MULTILINE) == []
    blocks = re.split(r"\n(?=[A-Za-z0-9])", re.sub(r"^\s*#.*\n?", "", text, flags=re.M).strip())
    assert len(blocks) > 20
    for block in blocks:
        assert re.match(r"[A-Za-z0-9._-]+(\[[\w,-]+\])?==[^\s;]+", block), block[:60]
        assert "--hash=sha256:" in block, block[:60]


def test_both_requirements_agree() -> None:
    def pins(name: str) -> set[str]:
        found = re.findall(
            r"^([A-Za-z0-9._-]+)(?:\[.*?\])?==(\S+)", (ROOT / name).read_text(), re.M
        )
        return {f"{package}=={version}" for package, version in found}

    assert pins("requirements.txt") - pins("requirements-test.txt") == set()


def test_vendored_libraries_are_what_their_checksums_say() -> None:
    folder = ROOT / "web/bank/shell/vendor"
    sums = dict(line.split()[::-1] for line in (folder / "SHA256SUMS").read_text().splitlines())
    assert {"lit.js", "dexie.js"} <= set(sums)
    for name, digest in sums.items():
        assert hashlib.sha256((folder / name).read_bytes()).hexdigest() == digest, name


def test_functions_and_files_stay_short_enough_to_read() -> None:
    """Mostly under 10 lines and 300; these are the limits nobody should need."""
    found = []
    for path in (p for room in ROOMS for p in ours(".py", under=room)):
        if path.parent.name == "migrations" or path.name == "settings.py":
            continue
        text = path.read_text()
        if text.count("\n") > FILE_MOST:
            found.append(where(path, text.count("\n"), "a long file"))
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef):
                length = (node.end_lineno or node.lineno) - node.lineno + 1
                if length > FUNCTION_MOST:
                    found.append(where(path, node.lineno, f"{node.name} has {length} lines"))
    assert found == []


def test_public_functions_of_the_rooms_are_typed() -> None:
    found = [
        where(path, node.lineno, node.name)
        for room in ROOMS
        for path in ours(".py", under=room)
        if path.parent.name != "migrations"
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.FunctionDef) and node.returns is None
    ]
    assert found == []


def test_files_that_the_readme_names_exist() -> None:
    text = (ROOT / "README.md").read_text() + (ROOT / "DEVELOPERS.md").read_text()
    named = set(re.findall(r"\]\((?!https?:)([\w./-]+)\)", text))
    named |= set(re.findall(r"`((?:web|matches|bait|tests)/[\w./-]+\.\w+)`", text))
    assert len(named) > 5
    missing = sorted(name for name in named if not (ROOT / name).exists())
    assert missing == []


def test_every_setting_in_the_readme_is_read_and_the_reverse() -> None:
    code = (ROOT / "web/settings.py").read_text()
    read = set(re.findall(r'environ\.get\(\s*"(\w+)"|\b(?:flag|secret)\("(\w+)"', code))
    read_names = {a or b for a, b in read}
    told = set(re.findall(r"^\| `(\w+)` \|", (ROOT / "README.md").read_text(), re.MULTILINE))
    assert told == read_names
