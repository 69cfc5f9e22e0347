"""Every page as it is read aloud, and as search engines read it."""

from __future__ import annotations

from typing import Any

import pytest

from tests.addresses import addresses
from tests.grades.pages import FOUND, left_out, readers
from tests.read_aloud import tree, unsaid
from tests.rights import by_name
from tests.rights_rows import rows_make
from tests.web.test_rights_pages import ask, clients


@pytest.fixture
def pages(db: None, settings: Any) -> dict[str, str]:
    """The HTML of each page, by name."""
    settings.EMAIL_URL = "smtp://localhost"
    rows = rows_make()
    asked = clients(rows, "secretary", "own", "out")
    who, made = readers(), {}
    for name, address in addresses(rows.known):
        if name in who:
            answer = ask(asked[who[name]], name, "get", address)
            assert answer.status_code == 200, name
            made[name] = answer.content.decode()
    return made


def test_every_page_can_be_read_aloud_and_engines_keep_only_what_is_published(
    pages: dict[str, str],
) -> None:
    amiss = [f"{name}: {it}" for name, html in pages.items() for it in unsaid(html)]
    assert not amiss, "\n".join(amiss)

    shut = {
        name for name, html in pages.items() if '<meta name="robots" content="noindex">' in html
    }
    assert shut == set(readers()) - set(FOUND)
    for name in set(FOUND) - {"bank:shell"}:
        links = [it.has for it in tree(pages[name]).tags("link") if it.has["rel"] == "canonical"]
        assert [link["href"].startswith("http://localhost/") for link in links] == [True], name
    # The newest table is read under two addresses.
    told = [it.has["content"] for name in FOUND for it in tree(pages[name]).tags("meta")
            if it.has.get("name") == "description"]  # fmt: skip
    assert len(told) == len(FOUND) == len(set(told)) + 1


def test_every_page_is_graded_or_it_is_said_why_not() -> None:
    read = {name for name, row in by_name().items() if row.reads != "nobody"}
    read -= {name for name in read if name.startswith("api:")}  # answered in JSON
    assert {*readers(), *left_out()} == read
    assert not set(readers()) & set(left_out())


@pytest.mark.parametrize(
    ("html", "said"),
    [
        ("<h1>A</h1><h3>B</h3>", "a level of heading is left out"),
        ("<h1>A</h1><h1>B</h1>", "2 h1"),
        ("<svg><path/></svg>", "a picture without words"),
        ("<img src=a>", "a picture without words"),
        ("<input name=a>", "a field without a label"),
        ("<button><svg aria-hidden=true></svg></button>", "pressed without a name"),
        ("<table><tr><th scope=col>A</table>", "a table without a name"),
        ("<table aria-label=A><tr><th>A</table>", "head a row or column"),
        ("<p id=a></p><p id=a></p>", "an id that is there 2 times"),
        ("<label for=b>B</label>", "for names what is not there"),
        ("<p tabindex=1>A</p>", "out of its turn"),
        ("<fieldset><p>A</p></fieldset>", "fields without a legend"),
        ("<nav></nav><nav></nav>", "not told apart"),
    ],
)
def test_what_is_left_unsaid_is_found(html: str, said: str) -> None:
    assert any(said in it for it in unsaid(f"<main>{html}</main>"))


def test_a_page_that_says_all_is_let_through() -> None:
    html = """<html lang="en"><head><title>A</title></head><body><main><h1>A</h1><h2>B</h2>
    <label>C <input name="c"></label><svg role="img"><title>D</title></svg>
    <table><caption>E</caption><tr><th scope="col">F</th></tr></table></main></body></html>"""
    assert unsaid(html) == []
