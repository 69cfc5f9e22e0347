"""What stands of a match now: the weights in force, placed by the calculator.

Fetch the match through `matches.reads.access` first; these add no check of their own.
The number of queries does not depend on how many anglers, nets or facts there are.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from matches.models import (
    FISHING,
    Disagreement,
    DrawnPeg,
    Entry,
    EntryStatus,
    Match,
    NetCapRule,
    ScoredBy,
    SectionPeg,
    WeighIn,
)
from matches.reckon.counting import NetRules
from matches.reckon.decimals import decimal_text
from matches.reckon.placings import Entry as PlacingsEntry
from matches.reckon.placings import (
    PlacingsAnswer,
    Section,
    Status,
    placings_rules_parse,
    placings_work_out,
)

from .result_rows import (
    IndividualRow,
    MatchResult,
    NetWeight,
    PegShown,
    ResultEntry,
    SectionResult,
    TeamRow,
)

__all__ = [
    "IndividualRow",
    "MatchResult",
    "NetWeight",
    "PegShown",
    "ResultEntry",
    "SectionResult",
    "TeamRow",
    "entries_standing",
    "match_result",
    "net_rules",
]

_STATUSES: Mapping[str, Status] = {
    EntryStatus.ENTERED: "weighed",
    EntryStatus.RETIRED: "retired",
    EntryStatus.ABSENT: "absent",
    EntryStatus.DISQUALIFIED: "disqualified",
}


def match_result(match: Match, *, disagreements: int | None = None) -> MatchResult:
    """Sections, teams and individuals as they stand. Raises BadInput where the match's scheme or
    tie-breaks make no sense to the calculator. Who counted the open `disagreements` hands it in."""
    pegs = list(
        SectionPeg.objects.filter(match=match)
        .select_related("section", "peg", "drawn_peg__entry__angler", "drawn_peg__entry__team")
        .order_by("peg__position")
    )
    rows = entries_standing(match, pegs)
    placed = _placed(match, rows)
    entries = _with_places(rows, placed)
    return MatchResult(
        match=match,
        sections=_sections(pegs, entries),
        teams=_teams(placed, entries.values()),
        individuals=_individuals(placed, entries.values()),
        pegs=tuple(
            PegShown(p.peg.number, p.section.label, entries.get(p.pk), p.peg.side) for p in pegs
        ),
        undrawn=_undrawn(match),
        disagreements=Disagreement.objects.filter(match=match, ruling__isnull=True).count()
        if disagreements is None
        else disagreements,
    )


def net_rules(match: Match) -> NetRules:
    """How the match's nets count."""
    points = {row["name"]: int(row["points"]) for row in match.species}
    return NetRules(
        cap=match.net_cap,
        over="cap" if match.net_cap_rule == NetCapRule.CAP else "nothing",
        points=points if match.scored_by == ScoredBy.FISH else None,
    )


def entries_standing(match: Match, pegs: Iterable[SectionPeg]) -> dict[int, ResultEntry]:
    """The drawn entries of these pegs by section peg, with the nets that stand and without a place.
    One query, where the pegs come with their drawn entries, sections, anglers and teams."""
    rules = net_rules(match)
    nets: defaultdict[int, list[NetWeight]] = defaultdict(list)
    for section_peg, net, weight, fact, said in (
        WeighIn.objects.filter(match=match, stands=True)
        .order_by("net")
        .values_list("section_peg_id", "net", "weight", "fact_id", "fish")
    ):
        fish = None if said is None else tuple((species, count) for species, count in said)
        counted = rules.weight_counted(weight)
        score = rules.fish_counted(fish, weight=weight)
        nets[section_peg].append(NetWeight(net, weight, str(fact), counted, fish, score))
    fished = [p for p in pegs if hasattr(p, "drawn_peg") and p.drawn_peg.entry.status in FISHING]
    return {peg.pk: _entry(peg, peg.drawn_peg, nets[peg.pk]) for peg in fished}


def _entry(peg: SectionPeg, drawn: DrawnPeg, nets: Sequence[NetWeight]) -> ResultEntry:
    entry = drawn.entry
    return ResultEntry(
        entry=entry.pk,
        angler=entry.angler.public_name,
        team=entry.team.name if entry.team else None,
        section=peg.section.label,
        peg=peg.peg.number,
        nets=tuple(nets),
        status=entry.status,
    )


def _placed(match: Match, rows: Mapping[int, ResultEntry]) -> PlacingsAnswer:
    """Everybody who can be placed. Who is still to weigh keeps the section's size as it will be,
    so that a blank's or an absent angler's place does not jump when the last net is weighed."""
    by_section: defaultdict[str, list[ResultEntry]] = defaultdict(list)
    for row in rows.values():
        by_section[row.section].append(row)
    if not by_section:
        return PlacingsAnswer((), (), ())
    rules = placings_rules_parse(
        {
            "weight_unit": match.weight_unit,
            "scheme": match.scheme,
            "team_tie_breaks": match.team_tie_breaks,
        }
    )
    scored = match.scored_by == ScoredBy.FISH
    sections = tuple(
        Section(
            label,
            tuple(_asked(e, scored=scored) for e in entries if not e.to_weigh),
            size=len(entries),
        )
        for label, entries in by_section.items()
    )
    return placings_work_out(replace(rules, sections=sections))


def _asked(row: ResultEntry, *, scored: bool) -> PlacingsEntry:
    """One entry as the calculator takes it; an absent angler's weight is nothing."""
    gone = row.status == EntryStatus.ABSENT
    score = 0 if gone else row.score or 0
    return PlacingsEntry(
        angler=str(row.entry),
        team=row.team,
        weight=0 if gone else row.counted or 0,
        status=_STATUSES[row.status],
        score=score if scored else None,
    )


def _with_places(rows: Mapping[int, ResultEntry], placed: PlacingsAnswer) -> dict[int, ResultEntry]:
    of = {p.angler: (decimal_text(p.place), decimal_text(p.points)) for p in placed.placings}
    out = {}
    for peg, row in rows.items():
        place, points = of.get(str(row.entry), (None, None))
        out[peg] = replace(row, place=place, points=points)
    return out


def _sections(
    pegs: Iterable[SectionPeg], entries: Mapping[int, ResultEntry]
) -> tuple[SectionResult, ...]:
    """Every section, also one nobody drew in, by its position."""
    rows: dict[tuple[int, str], list[ResultEntry]] = {}
    for peg in pegs:
        of = rows.setdefault((peg.section.position, peg.section.label), [])
        if peg.pk in entries:
            of.append(entries[peg.pk])
    return tuple(SectionResult(label, tuple(of)) for (_, label), of in sorted(rows.items()))


def _teams(placed: PlacingsAnswer, entries: Iterable[ResultEntry]) -> tuple[TeamRow, ...]:
    """Teams whose members have all weighed, ranked; then those so far without a rank."""
    members: defaultdict[str, int] = defaultdict(int)
    for entry in entries:
        if entry.team is not None:
            members[entry.team] += 1
    whole = {t.team for t in placed.teams if t.counted == members[t.team]}
    ranks = _ranks_among(((t.team, t.rank) for t in placed.teams), kept=whole)
    rows = [
        TeamRow(
            team=t.team,
            points=decimal_text(t.points),
            weight=t.weight,
            counted=t.counted,
            members=members[t.team],
            rank=ranks.get(t.team),
            score=t.score,
            parting=t.parting if t.parting and {t.team, t.parting.other} <= whole else None,
        )
        for t in placed.teams
    ]
    return tuple(sorted(rows, key=lambda r: (r.rank is None, r.rank or 0, r.team)))


def _ranks_among(ranked: Iterable[tuple[str, int]], *, kept: set[str]) -> dict[str, int]:
    """The ranks of `kept` among themselves; equals stay equal."""
    of_kept = [(name, rank) for name, rank in ranked if name in kept]
    return {name: 1 + sum(1 for _, other in of_kept if other < rank) for name, rank in of_kept}


def _individuals(
    placed: PlacingsAnswer, entries: Iterable[ResultEntry]
) -> tuple[IndividualRow, ...]:
    by_id = {str(e.entry): e for e in entries}
    rows = [
        IndividualRow(
            i.rank,
            by_id[i.angler],
            replace(i.parting, other=by_id[i.parting.other].angler) if i.parting else None,
        )
        for i in placed.individuals
    ]
    return tuple(sorted(rows, key=lambda r: (r.rank, r.entry.angler)))


def _undrawn(match: Match) -> tuple[str, ...]:
    """The public names of those entered who have no peg."""
    entries = (
        Entry.objects.filter(match=match, status__in=FISHING, drawn_peg__isnull=True)
        .exclude(status=EntryStatus.ABSENT)
        .select_related("angler")
        .order_by("angler__name")
    )
    return tuple(e.angler.public_name for e in entries)
