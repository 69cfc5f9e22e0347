"""What a page, read aloud, would leave unsaid: found in its HTML alone, without a browser.

Sources: WCAG 2.2, 1.1.1 (pictures), 1.3.1 (tables, fields, headings), 2.4.1 and 2.4.2 (ways past,
titles), 2.4.3 (order), 3.1.1 (language), 4.1.2 (names). One h1, and no level of heading left out:
common practice, no source.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

EMPTY = {"area", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"}
FIELDS = {"input", "select", "textarea"}
NAMED_BY_THEMSELVES = {"hidden", "submit", "button", "reset", "image"}
POINTERS = ("aria-labelledby", "aria-describedby", "aria-controls", "for", "list", "form")


@dataclass
class Tag:
    name: str
    has: dict[str, str]
    above: Tag | None = None
    within: list[Tag | str] = field(default_factory=list)

    def tags(self, *names: str) -> Iterator[Tag]:
        for one in self.within:
            if isinstance(one, Tag):
                if not names or one.name in names:
                    yield one
                yield from one.tags(*names)

    def around(self, *names: str) -> bool:
        above = self.above
        while above and above.name not in names:
            above = above.above
        return above is not None

    def silent(self) -> bool:
        return self.has.get("aria-hidden") == "true"

    def said(self) -> str:
        """Its words as they are read aloud, once it is shown."""
        own = self.has.get("aria-label") or self.has.get("alt", "")
        words = (
            one if isinstance(one, str) else one.said()
            for one in self.within
            if isinstance(one, str) or not (one.silent() or "hidden" in one.has)
        )
        return own or " ".join("".join(words).split())

    def __str__(self) -> str:
        told = "".join(f' {k}="{v[:40]}"' for k, v in self.has.items() if k != "class")
        return f"<{self.name}{told}> {self.said()[:40]}".strip()


class _Tree(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.root = self.at = Tag("", {})

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        new = Tag(tag, {k: v or "" for k, v in attrs}, self.at)
        self.at.within.append(new)
        if tag not in EMPTY:
            self.at = new

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.at.within.append(Tag(tag, {k: v or "" for k, v in attrs}, self.at))

    def handle_endtag(self, tag: str) -> None:
        if tag in EMPTY or not (self.at.name == tag or self.at.around(tag)):
            return
        while self.at.name != tag and self.at.above:
            self.at = self.at.above
        self.at = self.at.above or self.root

    def handle_data(self, data: str) -> None:
        self.at.within.append(data)


def tree(html: str) -> Tag:
    made = _Tree()
    made.feed(html)
    return made.root


def unsaid(html: str) -> list[str]:
    """What is amiss, one line a finding."""
    page = tree(html)
    return [
        *_whole(page),
        *_headings(page),
        *_pictures(page),
        *_fields(page),
        *_pressed(page),
        *_tables(page),
        *_ids(page),
    ]


def _whole(page: Tag) -> Iterator[str]:
    if not all(one.has.get("lang") for one in page.tags("html")):
        yield "no language"
    if not any(one.said() for head in page.tags("head") for one in head.tags("title")):
        yield "no title"
    if len(list(page.tags("main"))) != 1:
        yield "not one main part"
    for one in page.tags():
        if int(one.has.get("tabindex") or 0) > 0:
            yield f"out of its turn: {one}"
    navs = [one.has.get("aria-label") or one.has.get("aria-labelledby") for one in page.tags("nav")]
    if len(navs) > 1 and (None in navs or len(set(navs)) < len(navs)):
        yield f"ways about that are not told apart: {navs}"


def _headings(page: Tag) -> Iterator[str]:
    before = 0
    for one in page.tags("h1", "h2", "h3", "h4", "h5", "h6"):
        level = int(one.name[1])
        if level > before + 1:
            yield f"a level of heading is left out before {one}"
        if not one.said():
            yield f"an empty heading: {one}"
        before = level
    if (many := len(list(page.tags("h1")))) != 1:
        yield f"{many} h1"


def _pictures(page: Tag) -> Iterator[str]:
    for one in page.tags("img"):
        if "alt" not in one.has:
            yield f"a picture without words: {one}"
    for one in page.tags("svg"):
        named = one.has.get("aria-label") or one.has.get("aria-labelledby")
        if not (
            one.silent() or (one.has.get("role") == "img" and (named or any(one.tags("title"))))
        ):
            yield f"a picture without words: {one}"


def _fields(page: Tag) -> Iterator[str]:
    labels = {one.has["for"] for one in page.tags("label") if "for" in one.has and one.said()}
    for one in page.tags(*FIELDS):
        if one.has.get("type") in NAMED_BY_THEMSELVES:
            continue
        named = one.has.get("aria-label") or one.has.get("aria-labelledby")
        if not (named or one.has.get("id") in labels or one.around("label")):
            yield f"a field without a label: {one}"
    for one in page.tags("fieldset"):
        if not any(legend.above is one for legend in one.tags("legend")):
            yield f"fields without a legend: {one}"
    for one in page.tags("details"):
        if not any(it.above is one and it.said() for it in one.tags("summary")):
            yield f"what opens without saying what: {one}"


def _pressed(page: Tag) -> Iterator[str]:
    for one in page.tags("a", "button"):
        said = one.said() or one.has.get("aria-labelledby") or one.has.get("title")
        if not said and not one.silent():
            yield f"pressed without a name: {one}"


def _tables(page: Tag) -> Iterator[str]:
    for one in page.tags("table"):
        named = one.has.get("aria-label") or one.has.get("aria-labelledby")
        if not named and not any(it.said() for it in one.tags("caption")):
            yield f"a table without a name: {one}"
        for cell in one.tags("th"):
            if cell.has.get("scope") not in ("col", "row", "colgroup", "rowgroup"):
                yield f"of what does it head a row or column? {cell}"
        if not any(one.tags("th")):
            yield f"a table without heads: {one}"


def _ids(page: Tag) -> Iterator[str]:
    ids = Counter(one.has["id"] for one in page.tags() if "id" in one.has)
    yield from (f"an id that is there {n} times: {name}" for name, n in ids.items() if n > 1)
    for one in page.tags():
        for pointer in POINTERS:
            for name in re.split(r"\s+", one.has.get(pointer, "").strip()):
                if name and name not in ids:
                    yield f"{pointer} names what is not there: {one}"
