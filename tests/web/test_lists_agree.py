"""What is listed in more than one place is the same in each: whoever adds one is told the rest."""

from __future__ import annotations

import re
from pathlib import Path

from bait.models import Unit
from bait.reckon.limit_drops import STEPS
from bait.reckon.units import UNITS
from matches.models import FactKind
from matches.reckon.placings import scheme
from matches.writes.erasing import NOTES
from tests.rights import FACTS
from web.api import shapes
from web.desk.scoring import RULES
from web.sync.kinds import body_checks

WEB = Path(__file__).parents[2] / "web"


def shell(name: str) -> str:
    return (WEB / "bank/shell" / name).read_text(encoding="utf-8")


def test_every_unit_of_bait_is_known_wherever_units_are_listed() -> None:
    units = list(UNITS)
    assert list(Unit.values) == units
    assert shapes.UNIT["enum"] == units
    assert set(STEPS) == set(units), "what a person can measure: bait/reckon/limit_drops.py"
    said = re.search(r"export const units = [^{]*\{(.+?)\}", shell("words.js"), re.DOTALL)
    assert said and set(units) <= set(re.findall(r"(\w+):", said[1]))
    page = (WEB / "templates/desk/price_list.html").read_text(encoding="utf-8")
    assert f"Units: {', '.join(units)}." in page


def test_every_word_of_a_scheme_can_be_chosen_at_the_desk() -> None:
    words = {
        "direction": scheme.DIRECTIONS,
        "ties": scheme.TIES,
        "blank": scheme.BLANKS,
        "absent": scheme.ABSENTS,
    }
    assert {rule: {word for word, _ in choices} for rule, _, choices in RULES} == {
        rule: set(of) for rule, of in words.items()
    }


def test_every_kind_of_fact_has_its_check_its_rights_and_its_word_on_the_phone() -> None:
    kinds = set(FactKind.values)
    assert {str(kind) for kind in body_checks()} == kinds
    assert set(FACTS) == kinds
    # What is nobody's own note stays when its author is erased.
    assert kinds - set(NOTES) == {"weigh_in", "signal", "scratch", "ruling"}
    typed = re.search(r'@typedef \{("weigh_in"[^}]+)\}', shell("facts.js"))
    assert typed and set(re.findall(r'"(\w+)"', typed[1])) == kinds
