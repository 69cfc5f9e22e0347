"""Where "1,250" may be 1.25 or 1250, every form that takes a number asks which is meant."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from bait.writes.limits import limits_raw, limits_save, limits_version
from matches.problems import Problem
from matches.reckon.errors import BadInput, Fault
from matches.writes.match_content import terms_parse
from matches.writes.match_scoring import scoring_parse
from matches.writes.pool_terms import pool_terms_parse
from tests.conftest import World
from web.desk.form_numbers import pence_typed
from web.desk.league_form import league_form, rules_typed

ASKED = "“1,250” may be 1.25 or 1250: write one of the two."


def fault_at(pointer: str, read: Callable[[], Any]) -> str:
    """What is said at a field; nothing where it was read."""
    faults: tuple[Fault, ...] = ()
    try:
        read()
    except (BadInput, Problem) as bad:
        faults = bad.faults
    return next((fault.message for fault in faults if fault.pointer == pointer), "")


def league(typed: str) -> Any:
    form = league_form({"missed": {"points": "5"}})
    return rules_typed({**form.values, "missed_points": typed})


FORMS: dict[str, tuple[str, Callable[[str], Any]]] = {
    "fee": ("/fee", lambda typed: terms_parse({"fee": typed}, venues=())),
    "money beside a button": ("/amount", pence_typed),
    "stake": ("/stake", lambda typed: pool_terms_parse({"stake": typed})),
    "prize": ("/place-1", lambda typed: pool_terms_parse({"place-1": typed})),
    "percent": ("/place-2", lambda typed: pool_terms_parse({"place-2": f"{typed} %"})),
    "section's prize": ("/section", lambda typed: pool_terms_parse({"section": typed})),
    "first points": ("/first", lambda typed: scoring_parse({"direction": "high", "first": typed})),
    "step of points": ("/step", lambda typed: scoring_parse({"direction": "high", "step": typed})),
    "net cap": ("/cap", lambda typed: scoring_parse({"weight_unit": "g", "cap": f"{typed} kg"})),
    "points of a round missed": ("/missed_points", league),
}


@pytest.mark.parametrize("form", FORMS)
def test_a_form_asks_which_of_two_numbers_is_meant(form: str) -> None:
    pointer, read = FORMS[form]
    assert fault_at(pointer, lambda: read("1,250")) == ASKED
    assert fault_at(pointer, lambda: read("1.25")) == fault_at(pointer, lambda: read("1,25")) == ""
    assert fault_at(pointer, lambda: read("one")) not in ("", ASKED)


@pytest.mark.parametrize("field", ["bait_l", "groundbait_l"])
def test_limits_ask_which_of_two_numbers_is_meant(world: World, field: str) -> None:
    raw = limits_raw(world.match)
    wrong: Any = {**raw, field: "1,250"}
    version = limits_version(raw)
    assert (
        fault_at(
            f"/{field}",
            lambda: limits_save(world.secretary, match=world.match, raw=wrong, version=version),
        )
        == ASKED
    )
