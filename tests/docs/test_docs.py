"""The documents as a site: what they name is there, and what is not there ends the build."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest

from tests.docs.book import Book, Page, read_book, unled, unlisted
from tests.docs.frame import write_site
from tests.docs.named import code_fault, faults_of
from tests.docs.values import NoValue, values_filled


@pytest.fixture(scope="module")
def book() -> Book:
    return read_book()


def faults(text: str, book: Book, *, source: str = "web/docs/members.md") -> list[str]:
    return faults_of(Page(source, "", f"# A page\n\n{text}\n"), book)


def test_everything_that_the_documents_name_is_there(book: Book) -> None:
    assert [fault for page in book.pages for fault in faults_of(page, book)] == []


def test_every_document_is_in_the_menu_or_a_decision() -> None:
    assert unlisted() == []


def test_every_page_is_led_to_and_one_that_is_not_is_told(book: Book) -> None:
    assert unled(book) == []
    alone = Page("web/docs/decisions/99-alone.md", "", "# Alone\n")
    assert unled(Book((*book.pages, alone))) == [alone.source]


def test_every_link_of_the_site_leads_to_a_page_and_its_heading(book: Book, tmp_path: Path) -> None:
    write_site(book, tmp_path)
    pages = {path: path.read_text(encoding="utf-8") for path in tmp_path.rglob("*.html")}
    assert len(pages) == len(book.pages) > 20
    ids = {path: set(re.findall(r' id="([^"]+)"', text)) for path, text in pages.items()}
    for path, text in pages.items():
        assert text.count("<h1") == 1
        assert '<html lang="en">' in text and 'class="skip" href="#page"' in text
        assert "<script" not in text
        for link in re.findall(r'(?:href|src)="([^"]+)"', text):
            file, _, anchor = unescape(link).partition("#")
            if ":" in file:
                continue
            target = (path.parent / file).resolve() if file else path
            assert target.exists(), f"{path.name}: {link}"
            assert not anchor or anchor in ids[target], f"{path.name}: {link}"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[a page](nowhere.md)", "no such file: nowhere.md"),
        ("![a picture](../static/nothing.png)", "no such file: ../static/nothing.png"),
        ("[out of it](../../../etc/hosts)", "no such file: ../../../etc/hosts"),
        ("[a heading](formulas.md#no-such-thing)", "no such heading: formulas.md#no-such-thing"),
        ("[here](#no-such-thing)", "no such heading: #no-such-thing"),
        ("[outside](http://club.example)", "no address: http://club.example"),
        ("[outside](https://nowhere)", "no address: https://nowhere"),
        ("`bait/reckon/nothing.py`", "no such file: bait/reckon/nothing.py"),
        ("`bait/reckon/larder.py::nothing`", "bait/reckon/larder.py has no nothing"),
        ("`web/bank/shell/store.js::nothing`", "web/bank/shell/store.js has no nothing"),
        ("`matches.writes.facts.nothing`", "no such name: matches.writes.facts.nothing"),
        ("`manage.py nothing`", "no such command: manage.py nothing"),
        ("`make nothing`", "no such command: make nothing"),
        ("`python -m tests.nothing`", "no such command: python -m tests.nothing"),
        ("**Press what is on no screen**", "no screen says “Press what is on no screen”"),
        ("<b>bold</b>", "HTML in Markdown: <b>"),
    ],
)
def test_what_is_not_there_is_told_with_its_line(text: str, said: str, book: Book) -> None:
    assert faults(text, book)[0] == f"web/docs/members.md:3: {said}"


@pytest.mark.parametrize(
    "code",
    [
        "bait/reckon/larder.py::lots_take",
        "bait/reckon/placement/ball.py::Moving.after",
        "web/bank/shell/store.js",
        "matches.writes.facts.facts_store",
        "bait.reckon.order",
        "manage.py doctor",
        "manage.py migrate",
        "make docs",
        "python -m tests.rights",
        "matches.csv",
        "gunicorn web.wsgi",
    ],
)
def test_what_is_there_is_let_through(code: str) -> None:
    assert code_fault(code) == ""


def test_bold_words_are_those_of_screens_on_pages_for_people_alone(book: Book) -> None:
    assert faults("**Save the plan**", book) == []
    assert faults("**Words of ours**", book, source="web/docs/running.md") == []


@pytest.mark.parametrize(
    ("place", "text"),
    [
        ("value:bait.reckon.units.UNITS[pint][1]", "0.56826125"),
        ("value:matches.reckon.weights.DRAMS_PER_POUND", "256"),
        ("value:bait.reckon.review.changes.FALSE_ALARM * 100", "5"),
        ("value:bait.reckon.order.baits.ROWS_MOST", "8,000,000"),
        ("value:bait.reckon.larder.KEEPS_DAYS", "fresh 7, cooked 3, frozen 90, dry 365"),
    ],
)
def test_a_value_is_taken_from_the_code(place: str, text: str) -> None:
    assert values_filled(f"It is {{{{ {place} }}}}.", source="a.md") == f"It is {text}."


@pytest.mark.parametrize(
    "place",
    ["value:bait.reckon.units.NOTHING", "value:bait.nothing.X", "value:matches.reckon.seasons[x"],
)
def test_a_value_that_the_code_lacks_ends_the_build(place: str) -> None:
    with pytest.raises(NoValue, match=r"a\.md:2: "):
        values_filled(f"# A page\n{{{{ {place} }}}}", source="a.md")
