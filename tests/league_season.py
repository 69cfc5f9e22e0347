"""A short season of the invented club for tests of leagues: matches weighed in and published."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from matches import models as m
from matches.writes.bulletins import bulletin_publish
from matches.writes.facts import fact_log_at_desk
from matches.writes.leagues import league_make, league_rounds_set

LOW = {"points": "low", "missed": "worst_plus_one", "tie_breaks": ["weight"]}
PEGS = {"Maud": "1", "Perrin": "2", "Wilmot": "4", "Odette": "5"}


def match_again(world: Any, *, name: str, days: int, unit: str = "g") -> Any:
    """Another match of the world's, with the same anglers at the same pegs, so many days on."""
    first = world.match
    match = m.Match.objects.create(
        club=world.club,
        venue=world.venue,
        name=name,
        slug=name.lower().replace(" ", "-"),
        date=first.date + dt.timedelta(days=days),
        start_at=first.start_at + dt.timedelta(days=days),
        end_at=first.end_at + dt.timedelta(days=days),
        state=m.MatchState.DRAWN,
        weight_unit=unit,
        objection_min=first.objection_min,
    )
    sections = {
        s.label: m.Section.objects.create(match=match, label=s.label, position=s.position)
        for s in first.sections.all()
    }
    for peg in first.section_pegs.select_related("section", "peg"):
        m.SectionPeg.objects.create(match=match, section=sections[peg.section.label], peg=peg.peg)
    for entry in world.entries.values():
        again = m.Entry.objects.create(match=match, angler=entry.angler, team=entry.team)
        at = entry.drawn_peg.section_peg.peg
        m.DrawnPeg.objects.create(
            match=match,
            entry=again,
            section_peg=m.SectionPeg.objects.get(match=match, peg=at),
        )
    return match


def weigh(world: Any, match: Any, weights: Mapping[str, int], *, over: Any = None) -> list[Any]:
    """Log these weights by angler's first name; `over` is the fact they correct."""
    return [
        fact_log_at_desk(
            world.secretary,
            match=match,
            kind="weigh_in",
            peg=PEGS[who],
            body={"net": 1, "weight": weight, "unit": match.weight_unit, "witness": None},
            supersedes=over,
        )
        for who, weight in weights.items()
    ]


def correct(world: Any, match: Any, who: str, weight: int) -> None:
    """A confirmed weight is mended: a later fact comes, and the secretary rules that it stands."""
    was = match.facts.filter(kind="weigh_in", peg=PEGS[who]).latest("cseq")
    (fact,) = weigh(world, match, {who: weight}, over=was.pk)
    doubt = m.Disagreement.objects.get(match=match, ruling__isnull=True)
    fact_log_at_desk(
        world.secretary,
        match=match,
        kind="ruling",
        peg=PEGS[who],
        body={"disagreement": doubt.pk, "stands": str(fact.pk)},
    )


def publish(world: Any, match: Any, **given: Any) -> m.Bulletin:
    match.refresh_from_db()
    return bulletin_publish(world.secretary, match=match, **given)


def league_of(world: Any, *matches: Any, of: str = "anglers", **rules: Any) -> m.League:
    """A league with these rounds; it has a table as soon as one of them is published."""
    league = league_make(
        world.secretary, club=world.club, name="Wend League", of=of, rules={**LOW, **rules}
    )
    return league_rounds_set(
        world.secretary, league=league, matches=[match.pk for match in matches]
    )


def season(world: Any, **rules: Any) -> tuple[m.League, list[Any]]:
    """Two rounds published and confirmed and a third to come.

    Section A is Maud and Perrin, B Wilmot and Odette. Round 1: Maud and Wilmot win; round 2:
    Perrin and Wilmot.
    """
    second = match_again(world, name="July Open", days=14)
    third = match_again(world, name="August Open", days=28)
    rounds = [world.match, second, third]
    weigh(world, world.match, {"Maud": 4000, "Perrin": 3000, "Wilmot": 2000, "Odette": 1000})
    publish(world, world.match, confirmed=True)
    league = league_of(world, *rounds, **rules)
    weigh(world, second, {"Maud": 1000, "Perrin": 1500, "Wilmot": 900, "Odette": 0})
    publish(world, second, confirmed=True)
    return league, rounds
