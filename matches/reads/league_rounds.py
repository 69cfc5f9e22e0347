"""What a league counts of its matches: the latest bulletin of each, read entry by entry.

Anglers and teams are known by their numbers, never by a name that may be shown otherwise next time.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction
from typing import Any, Literal

from matches.models import Bulletin, Entry, League, LeagueOf, LeagueRound, Match, Team
from matches.reckon.league import Round, RoundEntry
from matches.reckon.placings.scheme import scheme_read
from matches.reckon.reading import Reading

from .newest_bulletins import newest_bulletins

Counts = Literal["points", "places"]


class RoundState(Enum):
    """Whether a match counts in the league now, and if not, why."""

    COUNTED = "counted"
    TO_COME = "to_come"
    CALLED_OFF = "called_off"
    OTHER_WAY = "other_way"
    """The match gives points upwards and the league counts them downwards, or the reverse."""


@dataclass(frozen=True, slots=True)
class RoundRead:
    """One round: its match, the bulletin it is read from, and what that gives to whom."""

    number: int
    match: Match
    bulletin: Bulletin | None
    state: RoundState
    entries: tuple[RoundEntry, ...] = ()

    @property
    def counted(self) -> bool:
        return self.state is RoundState.COUNTED

    def as_asked(self) -> Round:
        """The round as the league calculator takes it."""
        return Round(str(self.number), self.entries, self.match.unit)


@dataclass(slots=True)
class Named:
    """Who stands behind the ids: the name to show now, and an angler's team in the latest round."""

    names: dict[str, str] = field(default_factory=dict)
    teams: dict[str, str | None] = field(default_factory=dict)


def league_rounds_read(league: League) -> tuple[list[RoundRead], Named]:
    """Every round in order, and the names. Five queries, however many rounds and entries.

    Fetch the league through its own reads first; this adds no check of its own.
    """
    rounds = list(league.rounds.select_related("match__venue").order_by("number"))
    bulletins = _latest_bulletins(rounds)
    known = _Known.of(league, [r.match_id for r in rounds])
    named = Named()
    return [_round_read(league, r, bulletins.get(r.match_id), known, named) for r in rounds], named


def _latest_bulletins(rounds: Iterable[LeagueRound]) -> dict[int, Bulletin]:
    rows = newest_bulletins().filter(match__in=[r.match_id for r in rounds]).defer("reason")
    return {b.match_id: b for b in rows}


@dataclass(slots=True)
class _Known:
    """The club's entries and teams, to tell who a bulletin speaks of."""

    entries: dict[int, Entry]
    by_peg: dict[tuple[int, str], Entry]
    teams: dict[str, Team]

    @classmethod
    def of(cls, league: League, matches: list[int]) -> _Known:
        entries = list(
            Entry.objects.filter(match__in=matches).select_related(
                "angler", "team", "drawn_peg__section_peg__peg"
            )
        )
        return cls(
            entries={e.pk: e for e in entries},
            by_peg={
                (e.match_id, e.drawn_peg.section_peg.peg.number): e
                for e in entries
                if hasattr(e, "drawn_peg")
            },
            teams={t.name: t for t in Team.objects.filter(club=league.club_id)},
        )

    def entry(self, match: Match, said: Mapping[str, Any]) -> Entry | None:
        """The entry a bulletin's row is about; the oldest bulletins name it by its peg only."""
        if "entry" in said:
            return self.entries.get(said["entry"])
        return self.by_peg.get((match.pk, said["peg"]))


def _round_read(
    league: League, row: LeagueRound, bulletin: Bulletin | None, known: _Known, named: Named
) -> RoundRead:
    match = row.match
    if match.called_off:
        return RoundRead(row.number, match, bulletin, RoundState.CALLED_OFF)
    if bulletin is None:
        return RoundRead(row.number, match, None, RoundState.TO_COME)
    if goes_other_way(league.rules, scheme=bulletin.body["scheme"]):
        return RoundRead(row.number, match, bulletin, RoundState.OTHER_WAY)
    of = _anglers if league.of == LeagueOf.ANGLERS else _teams
    entries = tuple(of(match, bulletin.body, counts_of(league.rules), known, named))
    return RoundRead(row.number, match, bulletin, RoundState.COUNTED, entries)


def counts_of(rules: Mapping[str, Any]) -> Counts:
    """What of a match is counted: its points, or the places over all."""
    return "places" if rules.get("counts") == "places" else "points"


def goes_other_way(rules: Mapping[str, Any], *, scheme: object) -> bool:
    """Whether a match of this scheme gives points the other way round than the league counts."""
    if counts_of(rules) == "places":
        return False
    return bool(scheme_read(Reading(), scheme, ()).direction != rules.get("points", "low"))


def _anglers(
    match: Match, body: dict[str, Any], counts: Counts, known: _Known, named: Named
) -> Iterator[RoundEntry]:
    placed = {i["peg"]: i for i in body["individuals"]}
    over_all = _shared_places((i["peg"], i["rank"]) for i in body["individuals"])
    for said in (e for section in body["sections"] for e in section["entries"]):
        entry, peg = known.entry(match, said), said["peg"]
        # Of an entry deleted since, the bulletin alone still tells: it stands under its own row.
        key = str(entry.angler_id) if entry else f"{match.slug}/{peg}"
        named.names[key] = entry.angler.public_name if entry else said["angler"]
        named.teams[key] = said["team"]
        if peg not in placed or said["points"] is None:
            yield RoundEntry(key, Fraction(0), status="to_weigh")
            continue
        place = over_all[peg] if counts == "places" else Fraction(said["place"])
        yield RoundEntry(
            key,
            points=place if counts == "places" else Fraction(said["points"]),
            weight=placed[peg]["weight"],
            place=place,
            status=said["status"] if said["status"] in ("absent", "disqualified") else "fished",
        )


def _teams(
    match: Match, body: dict[str, Any], counts: Counts, known: _Known, named: Named
) -> Iterator[RoundEntry]:
    ranks = _shared_places((t["team"], t["rank"]) for t in body["teams"] if t["rank"] is not None)
    for said in body["teams"]:
        team = _team(match, body, said["team"], known)
        key = str(team.pk) if team else f"{match.slug}/{said['team']}"
        named.names[key] = team.name if team else said["team"]
        if said["team"] not in ranks:
            yield RoundEntry(key, Fraction(0), status="to_weigh")
            continue
        place = ranks[said["team"]]
        points = place if counts == "places" else Fraction(said["points"])
        yield RoundEntry(key, points=points, weight=said["weight"], place=place)


def _team(match: Match, body: dict[str, Any], name: str, known: _Known) -> Team | None:
    """The team of that name; called otherwise now, the team its members are entered for."""
    if name in known.teams:
        return known.teams[name]
    rows = (e for s in body["sections"] for e in s["entries"] if e["team"] == name)
    entries = (known.entry(match, row) for row in rows)
    return next((e.team for e in entries if e is not None and e.team is not None), None)


def _shared_places(ranked: Iterable[tuple[str, int]]) -> dict[str, Fraction]:
    """Equals share the average of the places they fill, as anglers in a section do."""
    of: defaultdict[int, list[str]] = defaultdict(list)
    for name, rank in ranked:
        of[rank].append(name)
    return {
        name: rank + Fraction(len(names) - 1, 2) for rank, names in of.items() for name in names
    }
