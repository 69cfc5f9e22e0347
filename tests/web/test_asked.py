"""A small form of `python -m tests.load --only asked sent`: the API asked by its own description,
forms and bodies written wrongly. What it is held against stands in `tests/load/`."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import pytest

from tests.load.asked import api_ask
from tests.load.sent import Sent, bodies_send, facts_send, forms_send
from tests.rights_rows import Rows, rows_make
from tests.thorough import trials


@pytest.fixture
def rows(db: None) -> Rows:
    return rows_make()


def test_the_api_answers_as_its_description_says(rows: Rows) -> None:
    asked = api_ask(rows, each=trials(2, in_full=3))
    assert asked.faults == {}
    assert asked.statuses.keys() >= {200, 400, 401, 404}


@pytest.mark.parametrize(
    ("send", "most"),
    [
        (partial(forms_send, roles=("secretary",)), trials(40, in_full=80)),
        (bodies_send, trials(60, in_full=120)),
        (facts_send, trials(50, in_full=100)),
    ],
    ids=["forms", "bodies", "facts"],
)
def test_what_is_written_wrongly_is_refused_in_words(
    rows: Rows, send: Callable[..., Sent], most: int
) -> None:
    sent = send(rows, most=most)
    assert sent.faults == {}
    assert sent.statuses.total() >= most / 2


def test_each_kind_of_value_is_written_as_it_stands() -> None:
    from tests.load.nasty import _MARK, WRITTEN, json_write

    written: Any = {"a": [_MARK + one for one in WRITTEN]}
    assert json_write(written) == ('{"a": [' + ", ".join(WRITTEN) + "]}").encode()
