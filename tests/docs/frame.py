"""The site written: each page in one frame, with the project's own colours and type, no script."""

from __future__ import annotations

import html
import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from string import Template

from markdown_it.token import Token

from tests.docs.book import (
    DOCS,
    ROOT,
    Book,
    Page,
    is_outside,
    markdown,
    split_link,
    target_of,
)

#: Beside the pages; the first has the colours of the site itself.
STYLES = ("web/static/css/tokens.css", f"{DOCS}/pages.css")
MARK = "web/static/mark.svg"
_FRAME = Template((Path(__file__).parent / "frame.html").read_text(encoding="utf-8"))


def write_site(book: Book, folder: Path, root: Path = ROOT) -> None:
    """Every page, and what pages lead to, into `folder`; what lay there from before is gone."""
    shutil.rmtree(folder, ignore_errors=True)
    for file in (*STYLES, MARK, *sorted(_files_led_to(book))):
        _copy(root / file, folder / file_address(file))
    for page in book.pages:
        target = folder / page.address
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(page_html(page, book), encoding="utf-8")


def file_address(source: str) -> str:
    """Where a file that is no page lies in the site."""
    if source in (*STYLES, MARK):
        return Path(source).name
    return f"files/{source}"


def page_html(page: Page, book: Book) -> str:
    """The whole page. Every text in it comes out of the Markdown library escaped."""
    up = "../" * page.address.count("/")
    return _FRAME.substitute(
        title=html.escape(page.title),
        up=up,
        menu=_menu(page, book),
        body=_body(page, book),
        source=html.escape(page.source),
    )


def _menu(page: Page, book: Book) -> str:
    rooms: dict[str, list[Page]] = {}
    for one in book.pages:
        if one.room:
            rooms.setdefault(one.room, []).append(one)
    return "\n".join(
        f"<section><h2>{html.escape(room)}</h2><ul>{''.join(_lines(pages, page))}</ul></section>"
        for room, pages in rooms.items()
    )


def _lines(pages: list[Page], now: Page) -> Iterator[str]:
    for page in pages:
        here = ' aria-current="page"' if page == now else ""
        link = relative(page.address, now)
        yield f'<li><a href="{link}"{here}>{html.escape(page.title)}</a></li>'


def relative(address: str, page: Page) -> str:
    return os.path.relpath(address, Path(page.address).parent).replace(os.sep, "/")


def _body(page: Page, book: Book) -> str:
    md = markdown()
    tokens = md.parse(page.text)  # anew: what is checked stays as it was written
    for token in tokens:
        for child in token.children or []:
            _retarget(child, page, book)
    return str(md.renderer.render(tokens, md.options, {}))


def _retarget(token: Token, page: Page, book: Book) -> None:
    for name in ("href", "src"):
        link = str(token.attrs.get(name, ""))
        if link and not is_outside(link):
            token.attrs[name] = site_link(link, page, book)


def site_link(link: str, page: Page, book: Book) -> str:
    """A link of the repository as one within the site."""
    path, anchor = split_link(link)
    if not path:
        return link
    source = target_of(path, page)
    other = book.by_source().get(source)
    address = other.address if other else file_address(source)
    return relative(address, page) + (f"#{anchor}" if anchor else "")


def _files_led_to(book: Book) -> set[str]:
    found = set()
    for page in book.pages:
        for _line, token in page.inlines():
            link = str(token.attrs.get("href", token.attrs.get("src", "")))
            path = "" if is_outside(link) else split_link(link)[0]
            source = target_of(path, page) if path else ""
            if source and source not in book.by_source():
                found.add(source)
    return found


def _copy(source: Path, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    if source.is_dir():
        shutil.copytree(source, target, dirs_exist_ok=True)
    else:
        shutil.copyfile(source, target)
