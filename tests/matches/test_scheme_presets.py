"""Ways of scoring a secretary starts from: what each preset says is what the calculator does."""

from __future__ import annotations

from fractions import Fraction

import pytest

from matches.reckon.placings import placings_parse, placings_work_out
from matches.reckon.scheme_presets import (
    PRESETS,
    PRESETS_BY_KEY,
    SchemePreset,
    preset_of,
    ranks_without_singles,
    scheme_of,
    scheme_rules,
)


def points(key: str, *, fished: int, blanks: int, absent: int = 0) -> list[Fraction]:
    """Points in one section: those who caught, heaviest first, then the blanks, then the absent."""
    preset = PRESETS_BY_KEY[key]
    weights = [1000 - n for n in range(fished)] + [0] * blanks
    entries = [
        {"angler": f"a{n:03}", "weight": w, "status": "weighed"} for n, w in enumerate(weights)
    ]
    entries += [{"angler": f"b{n:03}", "weight": 0, "status": "absent"} for n in range(absent)]
    asked = {
        "scheme": scheme_of(preset.rules, without_singles=False),
        "sections": [{"id": "A", "entries": entries}],
    }
    answer = placings_work_out(placings_parse(asked))
    of = {p.angler: p.points for p in answer.placings}
    return [of[name] for name in sorted(of)]


# The figures are those of the rules' own examples: N 24 with 12 fish gives 18.5 (article 33), and
# N 20 with blank N + 1, absent N + 2 (club rules, one secondary source).
def test_the_international_rule_shares_what_is_left_among_blanks() -> None:
    assert points("international", fished=12, blanks=12)[12:] == [Fraction(37, 2)] * 12
    assert points("international", fished=9, blanks=0, absent=1)[-1] == 11


def test_the_club_rule_puts_blanks_behind_the_section_and_the_absent_behind_them() -> None:
    scored = points("club-low", fished=10, blanks=9, absent=1)
    assert scored[10:] == [Fraction(21)] * 9 + [Fraction(22)]


def test_points_up_gives_the_winner_the_sections_size_and_the_absent_nothing() -> None:
    assert points("points-up", fished=3, blanks=0, absent=1) == [4, 3, 2, 0]


def test_a_fixed_figure_for_the_winner_is_the_same_in_every_section() -> None:
    assert points("points-up-fixed", fished=2, blanks=0) == [30, 29]
    assert points("points-up-fixed", fished=5, blanks=0)[0] == 30


def test_one_point_for_a_blank_is_one_point() -> None:
    assert points("points-up-blank-one", fished=2, blanks=2, absent=1) == [5, 4, 1, 1, 0]


@pytest.mark.parametrize("preset", PRESETS, ids=lambda p: p.key)
def test_every_preset_is_found_again_says_its_source_and_how_sure_it_is(
    preset: SchemePreset,
) -> None:
    for singles in (False, True):
        kept = scheme_of(preset.rules, without_singles=singles)
        assert preset_of(kept) is preset
        assert ranks_without_singles(kept) is singles
    assert preset.says and any(
        word in preset.source for word in ("official text", "secondary source", "no source")
    )


def test_rules_of_ones_own_are_no_preset() -> None:
    own = {**scheme_rules("international"), "ties": "same_best"}
    assert preset_of(scheme_of(own, without_singles=False)) is None
