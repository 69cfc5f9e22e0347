"""The draw: the shared cases, the numbers it is made of, and what it never does."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matches.reckon.draw import (
    DRAW_EXAMPLE,
    DRAW_EXAMPLE_ANSWER,
    DrawAngler,
    DrawRequest,
    DrawSection,
    draw_commitment,
    draw_parse,
    draw_stream,
    draw_work_out,
    number_below,
    shuffled,
)
from matches.reckon.errors import BadInput

CASES = json.loads((Path(__file__).parents[1] / "cases" / "draw.json").read_text(encoding="utf-8"))
SEEDS = st.binary(min_size=32, max_size=32)


@pytest.mark.parametrize("case", [c for c in CASES if "output" in c], ids=lambda c: c["why"])
def test_case_is_drawn(case: dict[str, Any]) -> None:
    assert draw_work_out(draw_parse(case["input"])).as_json() == case["output"]


@pytest.mark.parametrize("case", [c for c in CASES if "errors" in c], ids=lambda c: c["why"])
def test_case_is_refused(case: dict[str, Any]) -> None:
    with pytest.raises(BadInput) as refused:
        draw_parse(case["input"])
    assert sorted(fault.pointer for fault in refused.value.faults) == case["errors"]


def test_the_example_of_the_api_is_true() -> None:
    assert draw_work_out(draw_parse(DRAW_EXAMPLE)).as_json() == DRAW_EXAMPLE_ANSWER


def test_one_digit_of_the_seed_changes_the_commitment() -> None:
    assert draw_commitment(bytes(32)) != draw_commitment(bytes(31) + b"\x01")


@pytest.mark.parametrize(
    ("numbers", "bound", "number"),
    [
        ([7], 5, 2),
        ([2**64 - 1, 8], 5, 3),  # the last of the broken run is skipped: 2^64 = 5 · … + 1
        ([2**64 - 2], 5, 4),  # the last of the last whole run is not
        ([2**64 - 1], 2, 1),  # 2 divides 2^64: nothing is ever skipped
        ([2**64 - 1], 2**64, 2**64 - 1),
        ([2**63 + 1, 2**64 - 1, 9], 2**63 + 1, 9),
        ([5], 1, 0),
    ],
)
def test_numbers_in_the_broken_run_are_skipped(numbers: list[int], bound: int, number: int) -> None:
    stream = iter(numbers)
    assert number_below(stream, bound=bound) == number
    assert list(stream) == []


def test_every_number_is_used_once_and_in_turn() -> None:
    stream = draw_stream(bytes(32))
    first = [next(stream) for _ in range(5)]
    again = draw_stream(bytes(32))
    assert [number_below(again, bound=2**64) for _ in range(5)] == first
    assert len(set(first)) == 5


@given(st.lists(st.integers(), max_size=30), SEEDS)
def test_a_shuffle_loses_nothing_and_leaves_the_list_alone(items: list[int], seed: bytes) -> None:
    before = list(items)
    assert Counter(shuffled(items, stream=draw_stream(seed))) == Counter(items)
    assert items == before


@given(SEEDS, st.lists(st.integers(1, 8), min_size=1, max_size=4), st.data())
def test_an_open_draw_fills_the_bank_from_the_first_peg(
    seed: bytes, lengths: list[int], data: st.DataObject
) -> None:
    sections = _sections(lengths)
    many = data.draw(st.integers(1, sum(lengths)))
    anglers = tuple(DrawAngler(f"m{n:02d}") for n in range(many))
    drawn = draw_work_out(DrawRequest(seed, anglers, sections, "open")).assignments
    pegs = [(s.id, peg) for s in sections for peg in s.pegs]
    assert [a.angler for a in drawn] == [angler.id for angler in anglers]
    assert sorted((a.section, a.peg) for a in drawn) == sorted(pegs[:many])


@given(SEEDS, st.integers(1, 5), st.integers(1, 4), st.integers(0, 2))
def test_a_team_draw_puts_one_of_each_team_in_each_section(
    seed: bytes, teams: int, sections: int, spare: int
) -> None:
    anglers = tuple(
        DrawAngler(f"{team}-{n}", f"t{team}") for team in range(teams) for n in range(sections)
    )
    request = DrawRequest(seed, anglers, _sections([teams + spare] * sections), "team")
    drawn = draw_work_out(request).assignments
    team_of = {angler.id: angler.team for angler in anglers}
    together = Counter((a.section, team_of[a.angler]) for a in drawn)
    assert set(together.values()) == {1}
    assert len(together) == teams * sections
    assert len({(a.section, a.peg) for a in drawn}) == len(anglers)


def _sections(lengths: list[int]) -> tuple[DrawSection, ...]:
    return tuple(
        DrawSection(f"s{n}", tuple(f"{n}.{peg}" for peg in range(length)))
        for n, length in enumerate(lengths)
    )


@given(SEEDS, st.permutations(range(8)), st.permutations(range(3)))
def test_the_order_of_the_lists_does_not_matter(
    seed: bytes, people: list[int], places: list[int]
) -> None:
    anglers = [DrawAngler(f"m{n}", f"t{n % 2}") for n in range(8)]
    sections = _sections([3, 3, 3])
    plain = DrawRequest(seed, tuple(anglers), sections, "open")
    stirred = DrawRequest(
        seed, tuple(anglers[n] for n in people), tuple(sections[n] for n in places), "open"
    )
    assert draw_work_out(stirred) == draw_work_out(plain)


def test_refusals_say_how_many() -> None:
    with pytest.raises(BadInput) as refused:
        draw_parse({**DRAW_EXAMPLE, "sections": [{"id": "A", "pegs": ["1"]}]})
    assert refused.value.faults[0].message == "More anglers (5) than pegs (1): add pegs."
