"""What a phone needs of a match all day, in one answer."""

from __future__ import annotations

import hashlib
import json
from typing import Any

from bait.models import Bait
from bait.reads.feed_tests import feed_tests_json, feed_tests_of
from bait.reads.limit_phone import limits_for_phone
from bait.reads.mixing import mixing_json
from bait.reads.phone import bag_json, plan_json
from bait.reads.phone_feeding import feeding_json
from bait.reads.plan_whole import WholePlan
from bait.reads.plans import plan_of_entry
from matches.models import Match, Person, Section, SectionPeg
from matches.reads.access import (
    clubs_of,
    is_secretary,
    is_weigher,
    match_seen,
    matches_of,
    memberships_of,
    own_entry,
)
from matches.reads.facts import epoch_told
from matches.reads.mates import mates_of
from matches.reads.peg_before import peg_notes_before
from matches.times import time_write
from matches.writes.facts.rights import officials_of
from matches.writes.facts.shape import PROTOCOL


def package_of(person: Person, *, match_id: int) -> dict[str, Any]:
    """Match, sections, pegs, who sits where, own plan, bag and mixes. Raises Problem NOT_FOUND.

    The number of queries does not grow with pegs, entries or stages.
    """
    match = match_seen(person, match_id=match_id)
    weigher = is_weigher(person, match=match)
    pegs = list(
        SectionPeg.objects.filter(match=match)
        .select_related("peg", "section", "drawn_peg__entry__angler", "drawn_peg__entry__team")
        .order_by("peg__position")
    )
    entry = own_entry(person, match=match)
    plan = plan_of_entry(entry) if entry else None
    mine = _mine(entry.pk, pegs) if entry else None
    mates = list(mates_of(person, club=match.club))
    return {
        "protocol": PROTOCOL,
        "epoch": str(epoch_told(match.club, official=weigher, mates=mates)),
        "match": match_json(match, plan=plan),
        "person": {
            "id": str(person.pk),
            "name": person.name,
            "may_weigh": weigher,
            "may_rule": is_secretary(person, club=match.club),
        },
        "officials": sorted(str(pk) for pk in officials_of(match)),
        "sections": _sections(match, pegs),
        "pegs": [_peg(sp, official=weigher) for sp in pegs],
        "mine": mine,
        "peg_before": peg_notes_before(person, entry=entry, number=mine["peg"])
        if entry and mine
        else [],
        "mates": sorted(map(str, mates)),
        "feed_tests": feed_tests_json(feed_tests_of(person, club=match.club, but=match)),
        "plan": plan_json(plan) if plan else None,
        "bag": bag_json(plan) if plan else [],
        "feeding": feeding_json(plan) if plan else None,
        "mixing": mixing_json(plan) if plan else [],
        "baits": list(
            Bait.objects.filter(club=match.club)
            .order_by("name")
            .values("key", "name", "kind", "unit")
        ),
    }


def package_etag(package: dict[str, Any]) -> str:
    """A strong entity tag (RFC 9110, section 8.8.3): the digest of all it says."""
    text = json.dumps(package, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return f'"{hashlib.sha256(text.encode()).hexdigest()}"'


def me_of_nobody() -> dict[str, Any]:
    """What `me_of` says where nobody is signed in."""
    return {"protocol": PROTOCOL, "person": None, "clubs": [], "matches": []}


def me_of(person: Person) -> dict[str, Any]:
    """Who is signed in, in which clubs with which roles, and their matches. Three queries."""
    roles: dict[int, set[str]] = {}
    for club_id, role in memberships_of(person).values_list("club_id", "role"):
        roles.setdefault(club_id, set()).add(role)
    return {
        "protocol": PROTOCOL,
        "person": {
            "id": str(person.pk),
            "name": person.name,
            "language": person.language,
            "measures": person.measures,
        },
        "clubs": [
            {"slug": club.slug, "name": club.name, "roles": sorted(roles.get(club.pk, ()))}
            for club in clubs_of(person)
        ],
        "matches": [
            {
                "id": str(match.pk),
                "name": match.name,
                "date": match.date.isoformat(),
                "state": match.state,
                "called_off": match.called_off,
                "venue": match.venue.name,
                "timezone": match.venue.timezone,
                "club": match.club.slug,
            }
            for match in matches_of(person)
        ],
    }


def match_json(match: Match, *, plan: WholePlan | None) -> dict[str, Any]:
    return {
        "id": str(match.pk),
        "name": match.name,
        "slug": match.slug,
        "club": match.club.slug,
        "date": match.date.isoformat(),
        "state": match.state,
        "weight_unit": match.weight_unit,
        "net_cap": match.net_cap,
        "net_cap_rule": match.net_cap_rule,
        "scored_by": match.scored_by,
        "species": match.species,
        "called_off": match.called_off,
        "draw_at": match.draw_at and time_write(match.draw_at),
        "prepare_at": match.prepare_at and time_write(match.prepare_at),
        "feed_at": match.feed_at and time_write(match.feed_at),
        "start_at": time_write(match.start_at),
        "end_at": time_write(match.end_at),
        "last_call_min": match.last_call_min,
        "timezone": match.venue.timezone,
        "venue": match.venue.name,
        "water": match.venue.water,
        "cautions": match.venue.cautions,
        "limits": limits_for_phone(match, plan=plan),
        "board_url": f"/board/{match.club.slug}/{match.slug}/",
    }


def _sections(match: Match, pegs: list[SectionPeg]) -> list[dict[str, Any]]:
    numbers: dict[int, list[str]] = {}
    for sp in pegs:
        numbers.setdefault(sp.section_id, []).append(sp.peg.number)
    return [
        {"label": section.label, "pegs": numbers.get(section.pk, [])}
        for section in Section.objects.filter(match=match).order_by("position")
    ]


def _peg(sp: SectionPeg, *, official: bool) -> dict[str, Any]:
    """Who weighs must know who sits there; others see a junior's initials."""
    entry = _entry_at(sp)
    angler = entry.angler if entry else None
    return {
        "number": sp.peg.number,
        "section": sp.section.label,
        "depth_cm": sp.peg.depth_cm,
        "accessible": sp.peg.accessible,
        "power_lines": sp.peg.power_lines,
        "steep_bank": sp.peg.steep_bank,
        "notes": sp.peg.notes,
        "angler": (angler.name if official else angler.public_name) if angler else None,
        "team": entry.team.name if entry and entry.team else None,
    }


def _mine(entry_id: int, pegs: list[SectionPeg]) -> dict[str, Any] | None:
    for sp in pegs:
        entry = _entry_at(sp)
        if entry and entry.pk == entry_id:
            return {
                "peg": sp.peg.number,
                "section": sp.section.label,
                "angler": entry.angler.name,
                "team": entry.team.name if entry.team else None,
            }
    return None


def _entry_at(sp: SectionPeg) -> Any:
    drawn = getattr(sp, "drawn_peg", None)
    return drawn.entry if drawn else None
