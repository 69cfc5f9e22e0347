"""What a bulletin says: plain JSON that stands on its own, and how two of them differ."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from matches.models import Draw, Match, ScoredBy
from matches.reckon.decimals import decimal_text
from matches.reckon.placings import Parting

from .pools import pools_shown
from .result_rows import IndividualRow, MatchResult, ResultEntry, TeamRow

FORM = 1
"""The form of a bulletin's body; raised when a key changes its meaning."""


def bulletin_body(result: MatchResult, *, confirmed: bool) -> dict[str, Any]:
    """All the board shows, by public names; weights are whole numbers in the match's unit.

    `entry` is the entry's number, which says nothing about anybody: by it the same angler is known
    again in a league, whatever name is shown.
    """
    match = result.match
    return {
        "form": FORM,
        "match": {
            "name": match.name,
            "date": match.date.isoformat(),
            "club": match.club.name,
            "venue": match.venue.name,
            "water": match.venue.water,
            "start_at": match.start_at.isoformat(),
            "end_at": match.end_at.isoformat(),
            "timezone": match.venue.timezone,
        },
        "confirmed": confirmed,
        "weight_unit": match.weight_unit,
        "scheme": match.scheme,
        "team_tie_breaks": match.team_tie_breaks,
        **_counting(match),
        "sections": [
            {"label": s.label, "entries": [_entry(e) for e in s.ranked]} for s in result.sections
        ],
        "teams": [_team(t) for t in result.teams],
        "individuals": [_individual(i) for i in result.individuals],
        "biggest": _biggest(result.biggest),
        "pegs": [{"peg": p.peg, "section": p.section} for p in result.pegs],
        "to_weigh": len(result.to_weigh),
        "disagreements": result.disagreements,
        "draw": _draw(result),
        **_pools(result, confirmed=confirmed),
    }


def _pools(result: MatchResult, *, confirmed: bool) -> dict[str, Any]:
    """What the pools hold and pay, where the match has some; money in pence of `currency`."""
    pools = pools_shown(result.match, result=result, is_final=confirmed)
    return {"currency": result.match.club.currency, "pools": pools} if pools else {}


def _entry(entry: ResultEntry) -> dict[str, Any]:
    return {
        "place": entry.place,
        "points": entry.points,
        "entry": entry.entry,
        "angler": entry.angler,
        "team": entry.team,
        "peg": entry.peg,
        "nets": [n.weight for n in entry.nets],
        "weight": entry.weight,
        **({"counted_weight": entry.counted} if entry.is_capped else {}),
        **_scored(entry.score),
        **({"fish": _fish(entry)} if entry.score is not None else {}),
        "status": entry.status,
    }


def _team(team: TeamRow) -> dict[str, Any]:
    return {
        "rank": team.rank,
        "team": team.team,
        "points": team.points,
        "weight": team.weight,
        "counted": team.counted,
        "members": team.members,
        **_scored(team.score),
        **_parting(team.parting),
    }


def _individual(row: IndividualRow) -> dict[str, Any]:
    entry = row.entry
    return {
        "rank": row.rank,
        "angler": entry.angler,
        "team": entry.team,
        "section": entry.section,
        "peg": entry.peg,
        "points": entry.points,
        "weight": entry.counted if entry.counts else 0,
        **_scored(entry.score if entry.counts else None),
        **_parting(row.parting),
    }


def _counting(match: Match) -> dict[str, Any]:
    """How nets counted, where that is not simply by their weight."""
    cap = {"net_cap": match.net_cap, "net_cap_rule": match.net_cap_rule} if match.net_cap else {}
    fish = match.scored_by == ScoredBy.FISH
    return cap | ({"scored_by": match.scored_by, "species": match.species} if fish else {})


def _fish(entry: ResultEntry) -> list[list[Any]]:
    """How many of each species over all nets."""
    many: dict[str, int] = {}
    for net in entry.nets:
        for species, count in net.fish or ():
            many[species] = many.get(species, 0) + count
    return [[species, count] for species, count in sorted(many.items())]


def _scored(score: int | None) -> dict[str, int]:
    return {} if score is None else {"score": score}


def _parting(parting: Parting | None) -> dict[str, Any]:
    """Which tie-break put this one ahead of the next, level on points; exact values as text."""
    if parting is None:
        return {}
    mine, theirs = decimal_text(Fraction(parting.mine)), decimal_text(Fraction(parting.theirs))
    return {"parting": {"by": parting.by, "mine": mine, "theirs": theirs, "other": parting.other}}


def _biggest(entry: ResultEntry | None) -> dict[str, Any] | None:
    if entry is None:
        return None
    return {"angler": entry.angler, "team": entry.team, "peg": entry.peg, "weight": entry.counted}


def _draw(result: MatchResult) -> dict[str, Any] | None:
    draw = (
        Draw.objects.filter(match=result.match, drawn_at__isnull=False).order_by("-number").first()
    )
    if draw is None:
        return None
    return {"number": draw.number, "commitment": draw.commitment, "seed": draw.seed}


def bulletin_changes(before: dict[str, Any], after: dict[str, Any]) -> list[dict[str, Any]]:
    """What a reader of the bulletin before must know: one row a thing that differs.

    `where` is a peg, a team, a pool, or empty for the match; `what` the key; `before` and `after`
    values. Of a pool it is what it holds, and what it pays to whom.
    """
    return [
        *_differences("peg", _by_peg(before), _by_peg(after)),
        *_differences("team", _by_team(before), _by_team(after)),
        *_differences("pool", _by_pool(before), _by_pool(after)),
        *_differences("match", {"": _of_match(before)}, {"": _of_match(after)}),
    ]


def _differences(
    kind: str, before: dict[str, dict[str, Any]], after: dict[str, dict[str, Any]]
) -> Iterator[dict[str, Any]]:
    for name in [*after, *(n for n in before if n not in after)]:
        old, new = before.get(name, {}), after.get(name, {})
        for key in [*new, *(k for k in old if k not in new)]:
            if old.get(key) != new.get(key):
                yield {
                    "kind": kind,
                    "where": name,
                    "who": new.get("angler") or old.get("angler") or "",
                    "what": key,
                    "before": old.get(key),
                    "after": new.get(key),
                }


def _by_peg(body: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """What is said of each peg. The number of the entry is left out: it is nothing to read, and
    bulletins of before it was kept have none."""
    return {
        entry["peg"]: {
            "section": section["label"],
            **{key: value for key, value in entry.items() if key != "entry"},
        }
        for section in body["sections"]
        for entry in section["entries"]
    }


def _by_team(body: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {
        t["team"]: {key: value for key, value in t.items() if key not in ("team", "parting")}
        for t in body["teams"]
    }


def _by_pool(body: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {
        p["name"]: {
            "holds": p["holds"],
            "pays": [[paid["angler"], paid["pence"]] for paid in p["payments"]],
        }
        for p in body.get("pools", [])
    }


def _of_match(body: dict[str, Any]) -> dict[str, Any]:
    """What is said once for the match; ranks of individuals follow from places and weights."""
    return {
        **body["match"],
        **{k: body[k] for k in ("weight_unit", "scheme", "team_tie_breaks", "draw")},
        **{k: body[k] for k in ("net_cap", "net_cap_rule", "scored_by", "species") if k in body},
        "to_weigh": body["to_weigh"],
        "disagreements": body["disagreements"],
    }
