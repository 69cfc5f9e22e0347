"""A match's sections against the form of their pegs, and the cut that would be the most even.

Fetch the match through `matches.reads.access` first.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from matches.models import Match, PastResult, Venue
from matches.reckon.fair_sections import Evenness, cut_evenest, evenness, less_apart
from matches.reckon.peg_form import LEAST_MATCHES, Finish, peg_forms, pegs_seen
from matches.reckon.sections import SectionRun

from .match_pegs import MatchPegs, match_pegs
from .peg_form import fished, published_at, shared_places


@dataclass(frozen=True, slots=True)
class Cut:
    """Sections, and how even they are."""

    runs: Sequence[SectionRun]
    even: Evenness


@dataclass(frozen=True, slots=True)
class SectionsChecked:
    """The sections as they stand. `lacking` pegs of them were fished in too few of the `matches`
    there, published or of before; while there are some, or fewer than two sections, both cuts are
    None.

    `evenest` is None too where the sections are cut so already. `is_fairer`: what stands is uneven,
    and the evenest is less so by more than luck.
    """

    now: MatchPegs
    matches: int
    lacking: tuple[str, ...]
    stands: Cut | None = None
    evenest: Cut | None = None
    is_fairer: bool = False


def sections_checked(match: Match) -> SectionsChecked:
    """Read from every published match of the venue, and from results of before that have weights.
    Seven queries, however many matches."""
    now = match_pegs(match)
    earlier = [list(_finishes(one.body)) for one in published_at(match.venue)]
    earlier += _past_finishes(match.venue)
    matches, finishes = len(earlier), [one for of in earlier for one in of]
    forms = peg_forms(finishes) or {}
    walk = [peg for run in now.runs for peg in run.pegs]
    lacking = tuple(n for n in walk if n not in forms or forms[n].matches < LEAST_MATCHES)
    if lacking or len(now.runs) < 2:
        return SectionsChecked(now, matches, lacking)
    seen = pegs_seen(finishes)
    runs = _relabelled(
        cut_evenest(
            [peg for peg in now.bank if peg.number in {*walk}],
            sections=len(now.runs),
            worth={peg: form.believed.value for peg, form in forms.items()},
        ),
        now.runs,
    )
    stands = Cut(now.runs, evenness(now.runs, seen=seen))
    if runs == now.runs:
        return SectionsChecked(now, matches, (), stands)
    return SectionsChecked(
        now=now,
        matches=matches,
        lacking=(),
        stands=stands,
        evenest=Cut(runs, evenness(runs, seen=seen)),
        is_fairer=not stands.even.even and less_apart(now.runs, runs, seen=seen)[0] > 0,
    )


def _relabelled(runs: Sequence[SectionRun], stands: Sequence[SectionRun]) -> tuple[SectionRun, ...]:
    """With the names that the sections have."""
    return tuple(SectionRun(old.label, new.pegs) for old, new in zip(stands, runs, strict=True))


def _finishes(body: dict[str, Any]) -> Iterator[Finish]:
    """Each against everybody in the match who fished, by what was scored."""
    entries = [
        (entry["peg"], -scored)
        for section in body["sections"]
        for entry in fished(section["entries"])
        if (scored := _scored(entry)) is not None
    ]
    places = shared_places([value for _peg, value in entries])
    for (peg, _value), place in zip(entries, places, strict=True):
        yield Finish(peg, place, len(entries))


def _past_finishes(venue: Venue) -> list[list[Finish]]:
    """The same of the club's own book, a list a match. A place in a section tells nothing of the
    other sections, so whoever has no weight written down is left out. One query."""
    weighed: dict[int, list[tuple[str, int]]] = defaultdict(list)
    rows = PastResult.objects.filter(match__venue=venue).order_by("match_id")
    for match, peg, weight in rows.values_list("match_id", "peg", "weight"):
        if weight is not None:
            weighed[match].append((peg, -weight))
    return [
        [
            Finish(peg, place, len(of))
            for (peg, _), place in zip(of, shared_places([v for _, v in of]), strict=True)
            if peg
        ]
        for of in weighed.values()
    ]


def _scored(entry: dict[str, Any]) -> int | None:
    """Points of fish where those are scored, else the weight that counts."""
    score: int | None = entry.get("score", entry.get("counted_weight", entry.get("weight")))
    return score
