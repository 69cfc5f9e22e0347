"""The documents in the order in which they are read, each parsed once."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from urllib.parse import unquote

from markdown_it import MarkdownIt
from markdown_it.token import Token
from mdit_py_plugins.anchors import anchors_plugin

from tests.docs.values import values_filled

ROOT = Path(__file__).parents[2]
DOCS = "web/docs"

#: Who reads what, in the order of the menu. Decisions stand in their folder, by number.
ROOMS = (
    ("To begin", ("index.md", "../../README.md")),
    ("At the water and the desk", ("captains.md", "members.md", "secretaries.md", "cautions.md")),
    ("How it is worked out", ("formulas.md", "files.md", "notebook.md")),
    (
        "Running it",
        (
            "running.md",
            "hardening.md",
            "privacy.md",
            "load.md",
            "growth.md",
            "bench.md",
            "grades.md",
            "asvs.md",
        ),
    ),
    (
        "Building on it",
        (
            "api.md",
            "../../DEVELOPERS.md",
            "ways.md",
            "rights.md",
            "faults.md",
            "decisions/index.md",
        ),
    ),
)


@dataclass(frozen=True)
class Page:
    """One document: `source` from the root of the repository, `room` of the menu."""

    source: str
    room: str
    text: str

    @property
    def address(self) -> str:
        """Where the page lies in the site."""
        name = self.source.removeprefix(f"{DOCS}/").removesuffix(".md").lower()
        return f"{name}.html"

    @property
    def tokens(self) -> list[Token]:
        return _parsed(self.text)

    @property
    def title(self) -> str:
        return next((plain(inline) for tag, inline in self.headings if tag == "h1"), "")

    @property
    def headings(self) -> list[tuple[str, Token]]:
        """Every heading's tag and what it says."""
        found = self.tokens
        return [
            (token.tag, found[n + 1])
            for n, token in enumerate(found)
            if token.type == "heading_open"
        ]

    @property
    def anchors(self) -> set[str]:
        return {str(token.attrs["id"]) for token in self.tokens if "id" in token.attrs}

    def inlines(self) -> Iterator[tuple[int, Token]]:
        """Each piece of text with the line that it begins on."""
        line = 1
        for token in self.tokens:
            line = token.map[0] + 1 if token.map else line
            yield from ((line, child) for child in token.children or [])


@dataclass(frozen=True)
class Book:
    pages: tuple[Page, ...]

    def by_source(self) -> dict[str, Page]:
        return {page.source: page for page in self.pages}


def plain(inline: Token) -> str:
    return "".join(child.content for child in inline.children or [])


@cache
def markdown() -> MarkdownIt:
    """CommonMark with tables and an id at each heading, spelt as code sites spell it."""
    md = MarkdownIt("commonmark").enable("table").use(anchors_plugin, max_level=4)
    # A table wider than a phone scrolls by itself, and the keyboard reaches it.
    md.renderer.rules["table_open"] = lambda *_: '<div class="table" tabindex="0"><table>'
    md.renderer.rules["table_close"] = lambda *_: "</table></div>"
    return md


@cache
def _parsed(text: str) -> list[Token]:
    return markdown().parse(text)


def read_book(root: Path = ROOT) -> Book:
    """All documents under `root`; a page of the menu that is not there ends the build."""
    sources = [(room, f"{DOCS}/{name}") for room, names in ROOMS for name in names]
    decisions = sorted((root / DOCS / "decisions").glob("[0-9]*.md"))
    sources += [("", path.relative_to(root).as_posix()) for path in decisions]
    return Book(tuple(_page(root, room, source) for room, source in sources))


def _page(root: Path, room: str, source: str) -> Page:
    path = (root / source).resolve().relative_to(root.resolve())
    text = (root / path).read_text(encoding="utf-8")
    return Page(path.as_posix(), room, values_filled(text, source=path.as_posix()))


def unlisted(root: Path = ROOT) -> list[str]:
    """Documents in the folder that no menu leads to."""
    listed = {page.source for page in read_book(root).pages}
    there = {path.relative_to(root).as_posix() for path in (root / DOCS).rglob("*.md")}
    return sorted(there - listed)


def unled(book: Book) -> list[str]:
    """Pages that neither the menu nor another page leads to."""
    led = {page.source for page in book.pages if page.room}
    for page in book.pages:
        links = (str(token.attrs.get("href", "")) for _line, token in page.inlines())
        led |= {target_of(split_link(link)[0], page) for link in links if not is_outside(link)}
    return sorted(page.source for page in book.pages if page.source not in led)


def target_of(path: str, page: Page) -> str:
    """What a link's path leads to, from the root of the repository."""
    return os.path.normpath(Path(page.source).parent / unquote(path)).replace(os.sep, "/")


def split_link(link: str) -> tuple[str, str]:
    path, _, anchor = link.partition("#")
    return path, anchor


def is_outside(link: str) -> bool:
    return re.match(r"[a-z][a-z0-9+.-]*:", link) is not None
