"""Whether everything that a page names is there: pages, headings, files, code, commands, words.

Links within the repository are followed to the page, the heading or the file; links to the outside
are looked at by their form alone, so that a build needs no net. In code marks it looks for:

- `bait/reckon/order/` and `web/urls.py`: in the repository, `path::name` defined in that file
- `bait.reckon.larder.lots_take`: a module of ours, or a name defined in one
- `manage.py doctor`, `make check`, `python -m tests.rights`: commands

On pages for people at the water and the desk **bold** is what a screen says, word for word.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from urllib.parse import urlsplit

from markdown_it.token import Token

from tests.docs.book import ROOT, Book, Page, is_outside, split_link, target_of

_PATH = re.compile(r"((?:web|matches|bait|tests|\.ci)/[\w./@-]*)(?:::(\w+(?:\.\w+)?))?")
_DOTTED = re.compile(
    r"((?:web|matches|bait|tests)(?:\.\w+)+)(?<!\.csv)(?<!\.py)(?<!\.club)(?:\(\))?"
)
_COMMANDS = (
    (re.compile(r"(?:python )?manage\.py (\w+)\b"), "web/management/commands/{}.py"),
    (re.compile(r"python -m (tests(?:\.\w+)+)"), "{}"),
    (re.compile(r"make (\w+)"), "Makefile::{}"),
)
#: Commands that Django brings.
_DJANGO = {"migrate", "createsuperuser", "check", "makemigrations", "compilemessages", "shell"}
#: Pages whose bold words are those of screens.
SCREENS = {"captains.md", "members.md", "secretaries.md"}


def faults_of(page: Page, book: Book, root: Path = ROOT) -> list[str]:
    """Each fault as `file:line: what is not there`."""
    found = []
    for line, said in _faults(page, book, root):
        found.append(f"{page.source}:{line}: {said}")
    return found


def _faults(page: Page, book: Book, root: Path) -> Iterator[tuple[int, str]]:
    if [tag for tag, _inline in page.headings].count("h1") != 1:
        yield 1, "a page has one heading of the first level"
    for line, token in page.inlines():
        if token.type in ("link_open", "image"):
            link = str(token.attrs.get("href", token.attrs.get("src", "")))
            said = link_fault(link, page, book, root)
        elif token.type == "code_inline":
            said = code_fault(token.content, root)
        elif token.type == "html_inline":
            said = f"HTML in Markdown: {token.content}"
        else:
            continue
        if said:
            yield line, said
    yield from ((line, "HTML in Markdown") for line in _html_blocks(page.tokens))
    if Path(page.source).name in SCREENS:
        yield from _words_lacking(page, root)


def _html_blocks(tokens: list[Token]) -> list[int]:
    return [t.map[0] + 1 for t in tokens if t.type == "html_block" and t.map]


def link_fault(link: str, page: Page, book: Book, root: Path = ROOT) -> str:
    """What is wrong with a link of the page, or nothing."""
    if is_outside(link):
        return "" if _is_address(link) else f"no address: {link}"
    path, anchor = split_link(link)
    source = target_of(path, page) if path else page.source
    if not (root / source).exists() or source.startswith(".."):
        return f"no such file: {link}"
    leads_to = page if not path else book.by_source().get(source)
    if anchor and (leads_to is None or anchor not in leads_to.anchors):
        return f"no such heading: {link}"
    return ""


def _is_address(link: str) -> bool:
    parts = urlsplit(link)
    if parts.scheme == "mailto":
        return "@" in parts.path
    return parts.scheme == "https" and "." in (parts.hostname or "") and " " not in link


def code_fault(code: str, root: Path = ROOT) -> str:
    """What a piece of code names that is not there, or nothing."""
    if match := _PATH.fullmatch(code):
        return _path_fault(match[1], match[2] or "", root)
    if match := _DOTTED.fullmatch(code):
        return "" if _dotted_is_there(match[1], root) else f"no such name: {code}"
    for pattern, place in _COMMANDS:
        if (match := pattern.match(code)) and not _command_is_there(place, match[1], root):
            return f"no such command: {code}"
    return ""


def _path_fault(path: str, name: str, root: Path) -> str:
    there = root / path
    if path.startswith("web/bank/build"):  # made, not kept
        return ""
    if not there.exists():
        return f"no such file: {path}"
    if name and name not in names_in(there):
        return f"{path} has no {name}"
    return ""


def _dotted_is_there(dotted: str, root: Path) -> bool:
    """A module or a folder of ours, or a name that one of them defines or passes on."""
    parts = dotted.split(".")
    for n in range(len(parts), 0, -1):
        stem = root.joinpath(*parts[:n])
        rest = ".".join(parts[n:])
        if not rest and (stem.is_dir() or stem.with_suffix(".py").is_file()):
            return True
        for file in (stem.with_suffix(".py"), stem / "__init__.py"):
            if rest and file.is_file():
                return rest in names_in(file)
    return False


def _command_is_there(place: str, name: str, root: Path) -> bool:
    if name in _DJANGO:
        return True
    if place.startswith("Makefile"):
        return f"\n{name}:" in (root / "Makefile").read_text(encoding="utf-8")
    if place == "{}":
        stem = root.joinpath(*name.split("."))
        return stem.with_suffix(".py").is_file() or (stem / "__main__.py").is_file()
    return (root / place.format(name)).is_file()


@cache
def names_in(file: Path) -> frozenset[str]:
    """What a file defines or imports at its top, and within classes as `Class.name`."""
    if file.is_dir():
        return names_in(file / "__init__.py") if (file / "__init__.py").is_file() else frozenset()
    text = file.read_text(encoding="utf-8")
    if file.suffix in (".js", ".mjs"):
        return frozenset(_defined_in_script(text))
    if file.suffix != ".py":
        return frozenset()
    return frozenset(_defined(ast.parse(text).body))


def _defined_in_script(text: str) -> Iterator[str]:
    of_class = ""
    for line in text.splitlines():
        top = re.match(r"(?:export )?(?:async )?(?:function\*?|const|let|class) (\w+)", line)
        if top:
            of_class = top[1]
            yield top[1]
        elif method := re.match(r"  (?:static )?(?:async )?(\w+)\(.*\{$", line):
            yield f"{of_class}.{method[1]}"


def _defined(body: list[ast.stmt], within: str = "") -> Iterator[str]:
    for node in body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield within + node.name
            if isinstance(node, ast.ClassDef):
                yield from _defined(node.body, f"{node.name}.")
        elif isinstance(node, ast.Assign):
            for target in node.targets:
                yield from (within + n.id for n in ast.walk(target) if isinstance(n, ast.Name))
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            yield within + node.target.id
        elif isinstance(node, ast.ImportFrom | ast.Import):
            yield from (within + (alias.asname or alias.name) for alias in node.names)


def _words_lacking(page: Page, root: Path) -> Iterator[tuple[int, str]]:
    words: list[str] | None = None
    for line, token in page.inlines():
        if token.type == "strong_open":
            words = []
        elif token.type == "strong_close" and words is not None:
            said = "".join(words)
            if said not in screen_words(root):
                yield line, f"no screen says “{said}”"
            words = None
        elif words is not None:
            words.append(" " if token.type == "softbreak" else token.content)


@cache
def screen_words(root: Path) -> str:
    """All that screens are made of, in one text: templates, Python, scripts of the bank app."""
    files = [
        path
        for folder, suffixes in (
            ("web", (".html", ".py", ".js")),
            ("bait", (".py",)),
            ("matches", (".py",)),
        )
        for path in sorted((root / folder).rglob("*"))
        if path.suffix in suffixes
        and not {"node_modules", "build", "vendor", "migrations"} & set(path.parts)
    ]
    text = " ".join(path.read_text(encoding="utf-8") for path in files)
    return re.sub(r"\s+", " ", re.sub(r'"\s*\n\s*f?"', "", text))
