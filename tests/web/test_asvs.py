"""The list of what a standard of security asks for: everything that it names is there."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).parents[2]
LIST = (ROOT / "web/docs/asvs.md").read_text(encoding="utf-8")
ROWS = re.findall(r"^\| (\d+\.\d+\.\d+) \| (.+?) \| (.+?) \| (.+) \|$", LIST, re.MULTILINE)
NAMED = re.compile(r"`((?:\.ci|tests|web|matches|bait)/[\w./-]+|requirements\.txt)(?:::(\w+))?`")


def test_every_row_has_its_number_once_in_order_and_one_of_four_answers() -> None:
    numbers = [tuple(map(int, number.split("."))) for number, *_rest in ROWS]
    assert len(numbers) > 150
    assert numbers == sorted(set(numbers))
    answers = {holds for _n, _asks, holds, _where in ROWS}
    assert answers <= {"pass", "fail", "decided", "not for us"}
    assert len(ROWS) == len(re.findall(r"^\| \d", LIST, re.MULTILINE))


def test_every_file_and_test_that_is_named_is_there() -> None:
    missing = []
    for file, test in NAMED.findall(LIST):
        path = ROOT / file
        if not path.is_file() or (test and f"def {test}(" not in path.read_text(encoding="utf-8")):
            missing.append(f"{file}::{test}")
    assert missing == []


def test_what_passes_names_where_and_what_does_not_says_why() -> None:
    for number, _asks, holds, where in ROWS:
        words = NAMED.sub("", where).strip(" ,()")
        assert NAMED.search(where) if holds == "pass" else len(words) >= 8, number


def test_the_sums_are_those_of_the_rows() -> None:
    n = Counter(holds for _n, _asks, holds, _where in ROWS)
    assert (
        f"{n['pass']} pass, {n['fail']} fail, {n['decided']} are decided otherwise, "
        f"{n['not for us']} are not for us."
    ) in LIST


def test_what_is_decided_otherwise_says_what_protects_people_instead() -> None:
    said = [where for _n, _asks, holds, where in ROWS if holds == "decided"]
    assert said and all(len(where) >= 120 for where in said)
