"""Who asks for an accessible peg: they get one, teams stay apart, and the rest draws as ever."""

from __future__ import annotations

import dataclasses
from collections import Counter
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matches.reckon.draw import (
    DrawAngler,
    DrawRequest,
    DrawSection,
    Mode,
    draw_parse,
    draw_work_out,
)
from matches.reckon.draw.access import everyone_fits
from matches.reckon.errors import BadInput

SEEDS = st.binary(min_size=32, max_size=32)
FEW = st.integers(0, 3)
BOTH: tuple[Mode, ...] = ("open", "team")


def sections_of(lengths: list[int], accessible: list[int]) -> tuple[DrawSection, ...]:
    """Sections of so many pegs; the last of each are accessible."""
    return tuple(
        DrawSection(
            f"s{n}",
            tuple(f"{n}.{peg}" for peg in range(length)),
            frozenset(f"{n}.{peg}" for peg in range(length - many, length)),
        )
        for n, (length, many) in enumerate(zip(lengths, accessible, strict=True))
    )


def drawn(request: DrawRequest) -> dict[str, tuple[str, str]]:
    return {a.angler: (a.section, a.peg) for a in draw_work_out(request).assignments}


@given(SEEDS, st.lists(st.tuples(st.integers(1, 6), FEW), min_size=1, max_size=4), st.data())
def test_in_an_open_draw_who_asks_sits_at_an_accessible_peg_and_nobody_twice(
    seed: bytes, of: list[tuple[int, int]], data: st.DataObject
) -> None:
    sections = sections_of([max(pair) for pair in of], [many for _pegs, many in of])
    pegs = sum(max(pair) for pair in of)
    asking = data.draw(st.integers(0, sum(many for _pegs, many in of)))
    others = data.draw(st.integers(0 if asking else 1, pegs - asking))
    anglers = [DrawAngler(f"ask{n}", needs_access=True) for n in range(asking)]
    anglers += [DrawAngler(f"m{n}") for n in range(others)]
    at = drawn(DrawRequest(seed, tuple(anglers), sections, "open"))
    assert set(at) == {a.id for a in anglers}
    assert len(set(at.values())) == len(anglers)
    accessible = {(s.id, peg) for s in sections for peg in s.accessible}
    assert {at[a.id] for a in anglers if a.needs_access} <= accessible


@given(SEEDS, st.integers(1, 4), st.integers(1, 4), st.data())
def test_in_a_team_draw_each_team_has_one_in_each_section_and_who_asks_an_accessible_peg(
    seed: bytes, teams: int, many: int, data: st.DataObject
) -> None:
    sections = sections_of(
        [teams] * many, [data.draw(st.integers(0, teams)) for _section in range(many)]
    )
    anglers = tuple(
        DrawAngler(f"{team}-{n}", f"t{team}", data.draw(st.booleans()))
        for team in range(teams)
        for n in range(many)
    )
    asking = Counter(a.team or "" for a in anglers if a.needs_access)
    if not everyone_fits(asking, free=[len(s.accessible) for s in sections]):
        return
    at = drawn(DrawRequest(seed, anglers, sections, "team"))
    team_of = {a.id: a.team for a in anglers}
    assert len({(team_of[a], section) for a, (section, _peg) in at.items()}) == teams * many
    assert len(set(at.values())) == teams * many
    accessible = {(s.id, peg) for s in sections for peg in s.accessible}
    assert {at[a.id] for a in anglers if a.needs_access} <= accessible


@given(
    st.lists(st.integers(0, 3), min_size=1, max_size=3),
    st.lists(st.integers(0, 2), min_size=1, max_size=3),
    st.sets(st.tuples(st.integers(0, 2), st.integers(0, 2)), max_size=3),
)
def test_whether_everybody_fits_is_what_trying_every_seating_says(
    asking: list[int], free: list[int], held: set[tuple[int, int]]
) -> None:
    everyone = [team for team, many in enumerate(asking) for _ in range(many)]
    fits = any(
        len({*zip(everyone, seats, strict=True), *held}) == len(everyone) + len(held)
        and all(seats.count(n) <= free[n] for n in set(seats))
        for seats in product(range(len(free)), repeat=len(everyone))
    )
    assert fits == everyone_fits(
        {f"t{team}": many for team, many in enumerate(asking)},
        free=free,
        held={(f"t{team}", section) for team, section in held},
    )


@given(SEEDS, st.sampled_from(BOTH))
def test_accessible_pegs_nobody_asks_for_change_no_draw(seed: bytes, mode: Mode) -> None:
    anglers = tuple(DrawAngler(f"{t}{n}", t) for t in "ab" for n in range(3))
    sections = sections_of([2, 3, 2], [2, 1, 0])
    plain = tuple(dataclasses.replace(s, accessible=frozenset()) for s in sections)
    assert drawn(DrawRequest(seed, anglers, sections, mode)) == drawn(
        DrawRequest(seed, anglers, plain, mode)
    )


@given(SEEDS, st.permutations(range(6)), st.permutations(range(3)))
def test_the_order_of_the_lists_does_not_matter_to_who_asks(
    seed: bytes, people: list[int], places: list[int]
) -> None:
    anglers = [DrawAngler(f"m{n}", f"t{n % 2}", n < 3) for n in range(6)]
    sections = sections_of([2, 2, 2], [1, 2, 1])
    for mode in BOTH:
        plain = DrawRequest(seed, tuple(anglers), sections, mode)
        stirred = dataclasses.replace(
            plain,
            anglers=tuple(anglers[n] for n in people),
            sections=tuple(sections[n] for n in places),
        )
        assert drawn(plain) == drawn(stirred)


@pytest.mark.parametrize(
    ("accessible", "sentence"),
    [
        ([["1"], []], r"More ask for an accessible peg \(2\) than there are \(1\)"),
        ([["1", "2"], []], "each needs one in another section"),
    ],
)
def test_what_cannot_be_given_is_refused_in_words(
    accessible: list[list[str]], sentence: str
) -> None:
    asked = {
        "seed": "00" * 32,
        "anglers": [
            {"id": f"{team}{n}", "team": team, "needs_access": team == "alders"}
            for team in ("alders", "teals")
            for n in (1, 2)
        ],
        "sections": [
            {"id": label, "pegs": pegs, "accessible": of}
            for label, pegs, of in zip("AB", [["1", "2"], ["3", "4"]], accessible, strict=True)
        ],
        "mode": "team",
    }
    with pytest.raises(BadInput, match=sentence):
        draw_parse(asked)
