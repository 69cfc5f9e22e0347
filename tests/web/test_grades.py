"""How pages are graded, and the form of the page that says so: `make grades` does it."""

from __future__ import annotations

from itertools import takewhile

from tests.grades.lighthouse import CATEGORIES, PRESETS, Graded, grade, median
from tests.grades.pages import readers
from tests.grades.sheet import HEAD, PAGE, rows

SEO = {
    "score": 0.6,
    "audits": [
        {"id": "is-crawlable", "weight": 4, "score": 0},
        {"id": "document-title", "weight": 1, "score": 1},
        {"id": "meta-description", "weight": 1, "score": 0},
    ],
}


def one(performance: int, *failing: str) -> Graded:
    grades = dict.fromkeys(CATEGORIES, 100) | {"performance": performance}
    return Graded("home", "mobile", grades, list(failing), 1)


def test_what_is_left_out_by_intent_takes_no_marks_off_where_it_is_meant() -> None:
    assert grade("desk:home", SEO) == (50, ["meta-description"])
    assert grade("home", SEO) == (60, ["is-crawlable", "meta-description"])


def test_of_several_tries_the_median_counts() -> None:
    found = median([one(90, "a"), one(97), one(94, "b")])
    assert found.grades["performance"] == 94
    assert (found.failing, found.tries) == (["b"], 3)
    assert median([one(97)]).tries == 1


def test_a_row_names_the_page_and_every_grade_by_each_preset() -> None:
    found = rows([one(94), one(99)._replace(preset="desktop")])
    assert found == [["home", "94", "100", "100", "100", "99", "100", "100", "100", "1"]]
    assert len(found[0]) == len(HEAD)


def test_the_page_of_grades_has_a_row_for_each_page_there_was() -> None:
    lines = PAGE.read_text(encoding="utf-8").splitlines()
    at = lines.index("| " + " | ".join(HEAD) + " |") + 2
    table = takewhile(lambda line: line.startswith("| "), lines[at:])
    cells = [line.strip("| ").split(" | ") for line in table]
    assert {name for name, *_rest in cells} <= set(readers())
    assert {len(row) for row in cells} == {len(HEAD)} == {len(PRESETS) * len(CATEGORIES) + 2}
