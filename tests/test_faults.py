"""Every fault we promise to survive is provoked by a test, and the table says by which."""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from tests.faults import FAULTS

ROOT = Path(__file__).parents[1]
NOT_RUN = {"skip", "skipif", "xfail"}
JS_FAULTS = re.compile(r"((?:^// fault: .+\n)+)test\(", re.MULTILINE)


def marks_of(node: ast.FunctionDef) -> Iterator[tuple[str, list[str]]]:
    """The pytest marks of a test: name and the plain words given to each."""
    for mark in node.decorator_list:
        call = mark.func if isinstance(mark, ast.Call) else mark
        words = [a.value for a in mark.args if isinstance(a, ast.Constant)] if call != mark else []
        if isinstance(call, ast.Attribute) and ast.unparse(call).startswith("pytest.mark."):
            yield call.attr, [str(word) for word in words]


@cache
def provoked() -> dict[str, set[str]]:
    """By fault, the files with a test that provokes it and is run."""
    found: dict[str, set[str]] = defaultdict(set)
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        for node in ast.walk(ast.parse(path.read_text())):
            if not isinstance(node, ast.FunctionDef):
                continue
            marks = list(marks_of(node))
            if any(name in NOT_RUN for name, _ in marks):
                continue
            for fault in (word for name, words in marks if name == "fault" for word in words):
                found[fault].add(path.relative_to(ROOT).as_posix())
    for path in sorted((ROOT / "tests/js").glob("*.test.mjs")):
        for lines in JS_FAULTS.findall(path.read_text()):
            for line in lines.splitlines():
                found[line.removeprefix("// fault: ")].add(f"tests/js/{path.name}")
    return found


def table() -> dict[str, set[str]]:
    """The table in web/docs/faults.md: fault and files."""
    text = (ROOT / "web/docs/faults.md").read_text()
    rows = re.findall(r"^\| ([^|]+) \| ((?:`[^`|]+`,? ?)+) \|$", text, re.MULTILINE)
    return {fault: set(re.findall("`([^`]+)`", files)) for fault, files in rows}


def test_every_fault_is_provoked_by_a_test() -> None:
    assert [fault for fault in FAULTS if fault not in provoked()] == []


def test_no_test_provokes_what_is_not_in_the_list() -> None:
    assert {f: files for f, files in provoked().items() if f not in FAULTS} == {}


def test_the_table_of_faults_says_where_each_is_provoked() -> None:
    found = provoked()
    assert table() == {fault: found[fault] for fault in FAULTS}
