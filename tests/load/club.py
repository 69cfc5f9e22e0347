"""A club large enough for a thousand phones: matches of a hundred drawn pegs, an account each."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from typing import Any

from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.db import transaction

from matches import models as m

PEGS = 100


@dataclass(frozen=True, slots=True)
class Seat:
    """Who sits where, and the cookie of their session."""

    cookie: str
    match: int
    peg: str


def seats_make(world: Any, *, phones: int, since: int = 0) -> list[Seat]:
    """`phones` more anglers with accounts, drawn at pegs of as many matches as that takes."""
    pegs = _pegs(world)
    seats: list[Seat] = []
    while len(seats) < phones:
        number = since + len(seats) // PEGS
        seats += _match_fill(world, pegs[: phones - len(seats)], number=number)
    return seats


def _pegs(world: Any) -> list[m.Peg]:
    known = {peg.number for peg in m.Peg.objects.filter(venue=world.venue)}
    m.Peg.objects.bulk_create(
        m.Peg(venue=world.venue, number=str(n), position=n)
        for n in range(1, PEGS + 1)
        if str(n) not in known
    )
    return list(m.Peg.objects.filter(venue=world.venue).order_by("position")[:PEGS])


def _match_fill(world: Any, pegs: list[m.Peg], *, number: int) -> list[Seat]:
    match = m.Match.objects.get(pk=world.match.pk)
    match.pk, match.slug, match.name = None, f"big-{number}", f"Big match {number}"
    match.save()
    section = match.sections.create(label="A", position=1)
    m.SectionPeg.objects.bulk_create(
        m.SectionPeg(match=match, section=section, peg=peg) for peg in pegs
    )
    names = [f"angler-{number}-{peg.number}" for peg in pegs]
    m.Person.objects.bulk_create(m.Person(username=name, password="!") for name in names)
    people = {p.username: p for p in m.Person.objects.filter(username__in=names)}
    m.Membership.objects.bulk_create(
        m.Membership(club=world.club, person=people[name], role=m.Role.MEMBER) for name in names
    )
    m.Angler.objects.bulk_create(
        m.Angler(club=world.club, person=people[name], team=world.alders, name=name)
        for name in names
    )
    anglers = {a.name: a for a in m.Angler.objects.filter(name__in=names)}
    m.Entry.objects.bulk_create(
        m.Entry(match=match, angler=anglers[name], team=world.alders) for name in names
    )
    entries = {e.angler_id: e for e in m.Entry.objects.filter(match=match)}
    places = {sp.peg_id: sp for sp in m.SectionPeg.objects.filter(match=match)}
    m.DrawnPeg.objects.bulk_create(
        m.DrawnPeg(match=match, entry=entries[anglers[name].pk], section_peg=places[peg.pk])
        for name, peg in zip(names, pegs, strict=True)
    )
    cookies = sessions_make([people[name] for name in names])
    return [Seat(cookie, match.pk, peg.number) for cookie, peg in zip(cookies, pegs, strict=True)]


def sessions_make(people: list[Any]) -> list[str]:
    """A session each. What signing in writes, without a thousand sign-ins."""
    engine = import_module(settings.SESSION_ENGINE)
    cookies = []
    with transaction.atomic():
        for person in people:
            store = engine.SessionStore()
            store[SESSION_KEY] = str(person.pk)
            store[BACKEND_SESSION_KEY] = settings.AUTHENTICATION_BACKENDS[0]
            store[HASH_SESSION_KEY] = person.get_session_auth_hash()
            store.save()
            cookies.append(store.session_key)
    return cookies
