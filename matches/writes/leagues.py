"""Leagues: made, their rules changed, their rounds set in order."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any, Final

from django.db import transaction
from django.utils.text import slugify
from django.utils.translation import gettext as _

from matches.models import Club, League, LeagueOf, LeagueRound, Match, Person
from matches.problems import Code, Problem
from matches.reads.league_rounds import goes_other_way
from matches.reckon.errors import BadInput, Fault, pointer
from matches.reckon.league import league_rules_parse
from matches.reckon.reading import is_storable

from .audit import audit_record
from .league_tables import league_table_make
from .locks import club_locked
from .page_marks import mark_check

NAME_LONGEST: Final = 120
REASON_LONGEST: Final = 400


def league_make(
    person: Person, *, club: Club, name: str, of: str, rules: Mapping[str, Any]
) -> League:
    """A new league without rounds. Raises Problem, and BadInput with a fault for each field."""
    with transaction.atomic():
        club = club_locked(person, club=club)
        content = _content_checked(name=name, of=of, rules=rules)
        league = League.objects.create(club=club, slug=_slug_free(club, name), **content)
        audit_record(club=club, person=person, verb="league_make", subject=league, detail=content)
        return league


def rules_stand(league: League) -> dict[str, str]:
    """A league's name and rules, as text."""
    return {"name": league.name, "rules": json.dumps(league.rules, sort_keys=True)}


def rounds_stand(league: League) -> dict[str, str]:
    """The number of each round by its match, as text. One query."""
    rounds = league.rounds.values_list("match_id", "number")
    return {str(match): str(number) for match, number in rounds}


def league_edit(
    person: Person,
    *,
    league: League,
    name: str,
    rules: Mapping[str, Any],
    reason: str = "",
    mark: str = "",
) -> League:
    """Another name or other rules. Where a table was published already, other rules need `reason`
    and make a new table. `mark` (`page_mark` of `rules_stand`) says on what page they were typed.
    Raises Problem and BadInput."""
    with transaction.atomic():
        league = _league_locked(person, league=league)
        content = _content_checked(name=name, of=league.of, rules=rules)
        before = {"name": league.name, "rules": league.rules}
        others = content["rules"] != league.rules
        if others or content["name"] != league.name:
            mark_check(mark, stands=rules_stand(league))
        reason = _reason_checked(league, reason, needed=others)
        league.name, league.rules = content["name"], content["rules"]
        league.save(update_fields=["name", "rules"])
        audit_record(
            club=league.club,
            person=person,
            verb="league_edit",
            subject=league,
            detail={"before": before, "after": content, "reason": reason},
        )
        kind = "rules" if others else "name"
        league_table_make(person, league=league, because={"kind": kind, "reason": reason})
        return league


def league_rounds_set(
    person: Person, *, league: League, matches: Sequence[int], reason: str = "", mark: str = ""
) -> League:
    """These matches of the club, by their numbers, are the rounds in this order.

    Where a table was published already, another order needs `reason` and makes a new table.
    `mark` (`page_mark` of `rounds_stand`) says on what page they were typed. Refused (BadInput): a
    match twice or of another club; one that gives points the other way; an old page.
    """
    with transaction.atomic():
        league = _league_locked(person, league=league)
        rows = _matches_checked(league, matches)
        before = list(league.rounds.order_by("number").values_list("match_id", flat=True))
        if list(matches) == before:
            return league
        mark_check(mark, stands=rounds_stand(league))
        reason = _reason_checked(league, reason)
        league.rounds.all().delete()
        LeagueRound.objects.bulk_create(
            LeagueRound(league=league, match=match, number=n) for n, match in enumerate(rows, 1)
        )
        audit_record(
            club=league.club,
            person=person,
            verb="league_rounds_set",
            subject=league,
            detail={"before": before, "after": list(matches), "reason": reason},
        )
        league_table_make(person, league=league, because={"kind": "rounds", "reason": reason})
        return league


def league_delete(person: Person, *, league: League) -> None:
    """Take away a league that was made by mistake; one with a published table stays."""
    with transaction.atomic():
        league = _league_locked(person, league=league)
        if league.tables.exists():
            raise Problem(
                Code.CONFLICT,
                _("A table of this league is published: it stays readable, so the league does."),
            )
        audit_record(
            club=league.club, person=person, verb="league_delete", subject=league, detail={}
        )
        league.delete()


def _league_locked(person: Person, *, league: League) -> League:
    club = club_locked(person, club=league.club)
    found = League.objects.filter(pk=league.pk, club=club).select_related("club").first()
    if found is None:
        raise Problem(Code.NOT_FOUND, _("There is no such league in your clubs."))
    return found


def _content_checked(*, name: str, of: str, rules: Mapping[str, Any]) -> dict[str, Any]:
    """What may be stored, or BadInput; a fault of the rules points to /rules/…"""
    faults: list[Fault] = []
    name = " ".join(name.split())
    if not name or len(name) > NAME_LONGEST or not is_storable(name):
        faults.append(Fault("/name", _("Name the league, in up to 120 plain characters.")))
    if of not in LeagueOf.values:
        faults.append(Fault("/of", _("Choose anglers or teams.")))
    if rules.get("counts", "points") not in ("points", "places"):
        faults.append(Fault("/rules/counts", _("Choose points or places.")))
    if rules.get("counts") == "places" and rules.get("points", "low") != "low":
        faults.append(
            Fault("/rules/points", _("Places over all are counted with the lowest winning."))
        )
    try:
        league_rules_parse({k: v for k, v in rules.items() if k != "counts"})
    except BadInput as bad:
        faults += [Fault(f"/rules{f.pointer}", f.message) for f in bad.faults]
    if faults:
        raise BadInput(*faults)
    return {"name": name, "of": of, "rules": dict(rules)}


def _slug_free(club: Club, name: str) -> str:
    """An address made of the name, with a number where another league has it."""
    stem = slugify(name)[:70] or "league"
    taken = set(
        League.objects.filter(club=club, slug__startswith=stem).values_list("slug", flat=True)
    )
    slug, n = stem, 1
    while slug in taken:
        n += 1
        slug = f"{stem}-{n}"
    return slug


def _reason_checked(league: League, reason: str, *, needed: bool = True) -> str:
    """Why, in the words everybody will read; needed once there is a table."""
    reason = reason.strip()
    if not is_storable(reason) or len(reason) > REASON_LONGEST:
        raise BadInput(Fault("/reason", _("Write the reason in up to 400 plain characters.")))
    if needed and not reason and league.tables.exists():
        raise BadInput(
            Fault("/reason", _("Say why: a table is out, and everybody will read this."))
        )
    return reason


def _matches_checked(league: League, asked: Sequence[int]) -> list[Match]:
    found = Match.objects.filter(club=league.club_id).in_bulk(list(asked))
    faults = []
    for i, pk in enumerate(asked):
        if pk not in found:
            faults.append(Fault(pointer("matches", i), _("There is no such match in this club.")))
        elif pk in asked[:i]:
            faults.append(Fault(pointer("matches", i), _("A match is one round: name it once.")))
        elif goes_other_way(league.rules, scheme=found[pk].scheme):
            sentence = _(
                "%(match)s gives points the other way round: change its scoring, or make a league "
                "that counts as it does."
            ) % {"match": found[pk].name}
            faults.append(Fault(pointer("matches", i), sentence))
    if faults:
        raise BadInput(*faults)
    return [found[pk] for pk in asked]
