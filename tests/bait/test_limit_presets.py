"""Presets say what their sources say, and how sure they are."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from bait.reckon.limit_presets import PRESETS, PRESETS_BY_KEY

FLOAT = "Polish federation 2023, 7.7.5 and 7.7.9 (an official text, with a little doubt)"
FEEDER = "2018 summary (one secondary source)"


@pytest.mark.parametrize(
    ("key", "wholes", "parts", "source"),
    [
        ("float", ("20", "2.5"), ("1", "0.5", "0.5"), FLOAT),
        ("float-youngest", ("15", "2.5"), ("1", "0.5", "0.5"), FLOAT),
        # Nothing found for 12 and 2.5 litres; the parts have a source.
        (
            "feeder",
            ("12", "2.5"),
            ("0.5", "0.25", "0.5"),
            "From memory or common practice, no source found",
        ),
        ("float-older", ("17", "2.5"), (), "2006 report (one secondary source, with some doubt)"),
    ],
)
def test_a_preset_has_the_figures_and_the_source_of_its_rule(
    key: str, wholes: tuple[str, str], parts: tuple[str, ...], source: str
) -> None:
    preset = PRESETS_BY_KEY[key]
    assert (preset.groundbait_l, preset.bait_l) == (F(wholes[0]), F(wholes[1]))
    assert [part.allowed_l for part in preset.parts] == [F(part) for part in parts]
    assert preset.source == source


def test_parts_are_larvae_in_all_larvae_for_the_hook_and_worms() -> None:
    for preset in PRESETS[:3]:
        assert [(p.family, p.use, p.counts) for p in preset.parts] == [
            ("larvae", "any", "animal"),
            ("larvae", "hook", "animal"),
            ("worm", "any", "animal"),
        ]
    assert {part.source for part in PRESETS[2].parts} == {FEEDER}
    assert {part.source for part in PRESETS[0].parts} == {FLOAT}


def test_every_source_fits_where_it_is_kept() -> None:
    texts = [p.source for p in PRESETS] + [r.source for p in PRESETS for r in p.parts]
    assert all(0 < len(text) <= 200 for text in texts)
