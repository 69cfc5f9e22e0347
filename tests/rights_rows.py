"""The invented club with one of everything an address can name, and a person for every role."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from matches import models as m
from matches.reads.invitations import invitation_code
from matches.writes.addresses import address_code
from matches.writes.bulletins import bulletin_publish
from matches.writes.calendar_links import calendar_link_make
from matches.writes.draws import draw_commit, draw_hold
from matches.writes.imports import import_file_keep
from matches.writes.invitations import invitation_make
from matches.writes.objections import objection_answer, objection_note
from tests.conftest import World, make_world
from tests.fished import weigh_all
from tests.league_season import league_of
from tests.matches.pooled import confirm, pool
from tests.ordered import placed, planned


@dataclass
class Rows:
    """Who asks, by column of the table; what an address names; and the same of what never was."""

    people: dict[str, m.Person | None]
    known: dict[str, Any]
    never: dict[str, Any]


def rows_make() -> Rows:
    """The June Open is drawn, weighed and published, the Alders' order for it placed.

    The entry that is asked about is Wilmot's, the larder and the order are the Alders'.
    """
    world = make_world()
    order = _ordered(world)
    known = {
        "match_id": world.match.pk,
        "team_id": world.alders.pk,
        "entry_id": world.entries["Wilmot"].pk,
        "venue_id": world.venue.pk,
        "peg_id": world.pegs["1"].peg_id,
        "pack_id": world.packs["caster"].pk,
        "work_id": order,
        "slug": world.club.slug,
        "club": world.club.slug,
        "match": world.match.slug,
        "number": 1,
        "kind": "anglers",
        "file_id": _file(world),
        "key of shop": "hut",
        "key of price": "hut",
        "key of pack": "hut",
        "key of bait": "caster",
        "key of season": world.entries["Wilmot"].angler_id,
        **_fished(world),
        **_on_a_phone(world),
    }
    return Rows(
        people=_people(world),
        known=known,
        # Every club has the same kinds of file.
        never={name: _another(value) for name, value in known.items()} | {"kind": known["kind"]},
    )


def _file(world: World) -> uuid.UUID:
    """A roster that the secretary looked at."""
    return import_file_keep(
        world.secretary,
        club=world.club,
        kind=m.ImportKind.ANGLERS,
        about="",
        name="roster.csv",
        raw=b"Name\nAda\n",
        columns={"name": 0},
    ).pk


def _another(value: Any) -> Any:
    """What an address could name just as well, and nothing ever was called."""
    if isinstance(value, int):
        return value + 500_000
    return uuid.uuid4() if isinstance(value, uuid.UUID) else f"{value}-never"


def _people(world: World) -> dict[str, m.Person | None]:
    """By column of the table. The clubmate is in no team and not entered; the rival captains
    the Teals, who fish the match too; the former captain of the Alders was taken off the list."""
    clubmate, former, keeper = (
        m.Person.objects.create_user(name) for name in ("clubmate", "former", "keeper")
    )
    keeper.is_staff = keeper.is_superuser = True
    keeper.save()
    m.Membership.objects.create(club=world.club, person=clubmate, role=m.Role.MEMBER)
    for role, team in ((m.Role.MEMBER, None), (m.Role.CAPTAIN, world.alders)):
        m.Membership.objects.create(
            club=world.club, person=former, role=role, team=team, ended_at=timezone.now()
        )
    m.Membership.objects.create(
        club=world.club, person=world.rival, role=m.Role.CAPTAIN, team=world.teals
    )
    return {
        "out": None,
        "other club": world.outsider,
        "removed": former,
        "keeper": keeper,
        "clubmate": clubmate,
        "rival": world.rival,
        "own": world.member,
        "captain": world.captain,
        "weigher": world.weigher,
        "secretary": world.secretary,
    }


def _ordered(world: World) -> uuid.UUID:
    """Two plans and a placed order; the key of the work that reckoned it."""
    planned(world, "Maud", caster="2")
    planned(world, "Wilmot", caster="2")
    order = placed(world)
    return m.WorkRequest.objects.get(key=str(order.pk)).pk


def _fished(world: World) -> dict[str, Any]:
    """The draw, the weights, a pool whose prize is paid, an objection, a league's table."""
    made = pool(world)
    draw_commit(world.secretary, match=world.match, mode="open")
    draw_hold(world.secretary, match=world.match)
    league = league_of(world, world.match)
    drawn = m.DrawnPeg.objects.filter(match=world.match).select_related("section_peg__peg")
    drawn = drawn.order_by("section_peg__peg__position")
    wins = world.entries["Wilmot"].pk
    weigh_all(
        world, {at.section_peg.peg.number: 9000 if at.entry_id == wins else 1000 for at in drawn}
    )
    bulletin_publish(world.secretary, match=m.Match.objects.get(pk=world.match.pk))
    objection = objection_note(world.secretary, match=world.match, words="Read wrongly.")
    objection_answer(
        world.secretary, match=world.match, objection_id=objection.pk, answer="Read again."
    )
    confirm(world, "Everybody agreed.")
    return {
        "pool_id": made.pk,
        "objection_id": objection.pk,
        "league": league.slug,
        "key of league": league.slug,
    }


def _on_a_phone(world: World) -> dict[str, Any]:
    """What Wilmot's phone signs with, and the link that brings people in."""
    device = m.Device.objects.create(person=world.member)
    key = m.DeviceKey.objects.create(device=device, person=world.member, public_key="k" * 87)
    invitation = invitation_make(world.secretary, match=world.match, days=14)
    letter = address_code(world.member, address="wilmot@post.example")
    code = invitation_code(invitation)
    secret = calendar_link_make(world.member)
    parts = {"letter": letter, "uidb64": "MQ", "token": "a-b", "secret": secret}
    return {"key_id": key.pk, "code": code, **parts}
