"""A match of two hundred pegs being weighed in by two phones: for counting queries and time."""

from __future__ import annotations

import uuid
from typing import Any

from django.db import transaction

from matches import models as m
from matches.writes.facts import facts_store, match_body_checks
from tests.conftest import World, make_world

SECTIONS, PEGS = 8, 200


def big_match_make(*, pegs: int = PEGS, weighed: int = 160) -> World:
    """The world with `pegs` drawn in eight sections, `weighed` of them twice: most by two who
    agree, every fortieth by two who do not. No chance in it."""
    with transaction.atomic():
        world = make_world()
        m.DrawnPeg.objects.all().delete()
        m.Entry.objects.all().delete()
        m.SectionPeg.objects.all().delete()
        m.Section.objects.all().delete()
        m.Peg.objects.all().delete()
        _bank_draw(world, pegs)
        for person, more in ((world.weigher, 0), (world.secretary, 1)):
            device = uuid.UUID(int=1000 + person.pk)
            m.Device.objects.create(pk=device, person=person, label=person.first_name)
            _weigh(world, person, device, weighed, more)
    return world


def _bank_draw(world: World, pegs: int) -> None:
    sections = [
        m.Section.objects.create(match=world.match, label=chr(65 + n), position=n + 1)
        for n in range(SECTIONS)
    ]
    for n in range(pegs):
        peg = m.Peg.objects.create(venue=world.venue, number=str(n + 1), position=n + 1)
        section = sections[n * SECTIONS // pegs]
        section_peg = m.SectionPeg.objects.create(match=world.match, section=section, peg=peg)
        team = (world.alders, world.teals)[n % 2]
        angler = m.Angler.objects.create(club=world.club, name=f"Angler {n + 1}", team=team)
        entry = m.Entry.objects.create(match=world.match, angler=angler, team=team)
        m.DrawnPeg.objects.create(match=world.match, entry=entry, section_peg=section_peg)


def _weigh(world: World, person: Any, device: uuid.UUID, many: int, more: int) -> None:
    facts = [
        {
            "id": str(uuid.UUID(int=(device.int << 32) + n, version=4)),
            "device": str(device),
            "seq": n + 1,
            "kind": "weigh_in",
            "match": str(world.match.pk),
            "peg": str(n + 1),
            "recorded_at": "2026-06-20T14:05:11.250Z",
            "clock_offset_ms": 0,
            "supersedes": None,
            "body": {
                "net": 1,
                "weight": n * 37 % 9000 + (more if n % 40 == 39 else 0),
                "unit": "g",
                "witness": None,
            },
        }
        for n in range(many)
    ]
    for outcome in facts_store(person, facts=facts, body_checks=match_body_checks()):
        if outcome.problem is not None:
            raise outcome.problem
