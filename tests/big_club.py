"""A club of fifty members with three seasons behind it, by number: for counting queries."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.urls import NoReverseMatch, reverse

from bait import models as b
from bait.writes.larder import lot_bring
from bait.writes.orders import order_ask, order_place, order_version_make
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches import models as m
from tests.conftest import World, make_world

MEMBERS, MATCHES = 50, 60

#: Name of the page, and whose it is; the rest of its address comes from the club.
PAGES = (
    ("home", "captain"),
    ("plan", "member"),
    ("throws", "member"),
    ("mixing", "member"),
    ("statement", "member"),
    ("review", "member"),
    ("member-plan", "captain"),
    ("member-throws", "captain"),
    ("member-mixing", "captain"),
    ("member-statement", "captain"),
    ("member-review", "captain"),
    ("team", "captain"),
    ("order", "captain"),
    ("order-stands", "captain"),
    ("why", "captain"),
    ("kitty", "captain"),
    ("bags", "captain"),
    ("labels", "captain"),
    ("larder", "captain"),
    ("left-over", "captain"),
    ("bait-cost", "captain"),
    ("suggestion", "member"),
    ("limits", "secretary"),
    ("shops", "captain"),
    ("shop", "captain"),
    ("price-list", "captain"),
    ("pack-new", "captain"),
    ("pack", "captain"),
    ("baits", "captain"),
    ("bait", "captain"),
)


def big_club_make(*, members: int = MEMBERS, matches: int = MATCHES, placed: bool = True) -> World:
    """The world with `members` Alders, `matches` fished before, and the June Open's order worked
    out, and placed.

    No chance in it.
    """
    with transaction.atomic():
        world = make_world()
        _shelves_fill(world)
        anglers = _anglers_make(world, members=members)
        for n in range(matches):
            _match_past(world, n=n, anglers=anglers)
        _plans_write(world, anglers=anglers)
        _larder_fill(world, lots=matches)
    order, work = order_ask(world.captain, team=world.alders, match=world.match)
    version = order_version_make(work.pk)
    assert version is not None
    if placed:
        order_place(world.captain, order=order, version=version)
    return world


def _shelves_fill(world: World) -> None:
    """Groundbait by the bag, soil and maggot, and a second shop."""
    reel = b.Shop.objects.create(
        club=world.club, key="reel", name="Reel & Riddle", delivery_fee_pence=400
    )
    for key, name, kind, unit, price in (
        ("maggot", "Red maggot", b.BaitKind.ANIMAL, "pint", 340),
        ("pinkie", "Pinkie", b.BaitKind.ANIMAL, "pint", 360),
        ("river-mix", "River mix", b.BaitKind.GROUNDBAIT, "L", 260),
        ("soil", "River soil", b.BaitKind.SOIL, "L", 120),
    ):
        bait = b.Bait.objects.create(
            club=world.club, key=key, name=name, kind=kind, unit=unit, bag_amount=2
        )
        world.baits[key] = bait
        for shop in (reel, world.shops["hut"]):
            b.Pack.objects.create(
                shop=shop, bait=bait, key=key, amount=1, unit=unit, price_pence=price
            )


def _anglers_make(world: World, *, members: int) -> list[Any]:
    m.Angler.objects.bulk_create(
        m.Angler(club=world.club, team=world.alders, name=f"Angler {n:02d}")
        for n in range(members - m.Angler.objects.filter(team=world.alders).count())
    )
    anglers = list(m.Angler.objects.filter(team=world.alders).order_by("pk"))
    entered = {entry.angler_id for entry in world.entries.values()}
    m.Entry.objects.bulk_create(
        m.Entry(match=world.match, angler=angler, team=world.alders)
        for angler in anglers
        if angler.pk not in entered
    )
    return anglers


def _match_past(world: World, *, n: int, anglers: list[Any]) -> None:
    """A fished match, with a plan of each."""
    date = dt.date(2026, 6, 13) - dt.timedelta(days=14 * n)
    start = dt.datetime.combine(date, dt.time(9), dt.UTC)
    match = m.Match.objects.create(
        club=world.club,
        venue=world.venue,
        name=f"Match {n:02d}",
        slug=f"match-{n:02d}",
        date=date,
        start_at=start,
        end_at=start + dt.timedelta(hours=5),
        state=m.MatchState.CONFIRMED,
    )
    entries = m.Entry.objects.bulk_create(
        m.Entry(match=match, angler=angler, team=world.alders) for angler in anglers
    )
    plans = b.Plan.objects.bulk_create(b.Plan(entry=entry, version=1) for entry in entries)
    stages = b.Stage.objects.bulk_create(
        b.Stage(plan=plan, position=1, kind="feed", end_minute=300) for plan in plans
    )
    b.StageFeed.objects.bulk_create(
        b.StageFeed(stage=stage, bait=world.baits["caster"], amount=2, unit="pint")
        for stage in stages
    )
    b.Order.objects.create(match=match, team=world.alders)


def _plans_write(world: World, *, anglers: list[Any]) -> None:
    entries = m.Entry.objects.filter(match=world.match, team=world.alders).order_by("pk")
    for n, entry in enumerate(entries.select_related("angler", "match__club", "team")):
        plan_save(
            world.secretary,
            entry=entry,
            content=plan_content_parse(plan_raw(balls=6 + n % 3, pints=1 + n % 2)),
        )


def plan_raw(*, balls: int, pints: int) -> dict[str, Any]:
    """A plan with a mix, balls, throws, a hook bait and a substitute."""
    part = {"after_rest": False, "unit": "bag", "amount": "1"}
    return {
        "version": 0,
        "spare_percent": 10,
        "note": "",
        "mixes": [
            {
                "name": "base",
                "water_per_dry": "0.45",
                "rest_minutes": 25,
                "swell": "1",
                "squeeze": "0.7",
                "packing": "0.6",
                "film_mm": "0.4",
                "parts": [
                    {"bait": "river-mix", **part},
                    {"bait": "soil", **part, "unit": "L", "after_rest": True},
                ],
            }
        ],
        "stages": [
            {
                "kind": "opening",
                "line": "long",
                "start_minute": -10,
                "end_minute": 0,
                "balls": {"count": balls, "mm": 70, "mix": "base"},
                "feeds": [{"bait": "hemp", "amount": str(pints), "unit": "pint"}],
            },
            {
                "kind": "feed",
                "line": "long",
                "start_minute": 5,
                "end_minute": 240,
                "every_seconds": 300,
                "feeds": [{"bait": "caster", "amount": "1", "unit": "pouch"}],
            },
            {
                "kind": "hook",
                "end_minute": 300,
                "feeds": [{"bait": "maggot", "amount": "0.25", "unit": "pint"}],
            },
        ],
        "substitutes": [{"bait": "maggot", "instead": "pinkie"}],
    }


def _larder_fill(world: World, *, lots: int) -> None:
    """A lot of hemp every fortnight, the last of them still good."""
    for n in range(lots):
        lot_bring(
            world.captain,
            team=world.alders,
            bait=world.baits["hemp"],
            amount=Decimal(1),
            unit="pint",
            state=b.LotState.FROZEN,
            on=dt.date(2026, 6, 1) - dt.timedelta(days=14 * n),
            key=uuid.UUID(int=n + 1),
        )


def page_addresses(world: World) -> Iterator[tuple[str, str, str]]:
    """The name of each bait page of the desk, who looks at it, and its address."""
    entry = m.Entry.objects.get(match=world.match, angler__name="Wilmot Crane")
    known: dict[str, object] = {
        "match_id": world.match.pk,
        "team_id": world.alders.pk,
        "entry_id": entry.pk,
        "slug": world.club.slug,
        "key": "hut",
        "pack_id": world.packs["caster"].pk,
    }
    for name, who in PAGES:
        yield (
            name,
            who,
            _address(name, known={**known, "key": "caster"} if name == "bait" else known),
        )
    yield "plan-start", "member", _address("plan", known=known) + "?start=1"
    past = {**known, "match_id": m.Match.objects.get(slug="match-00").pk}
    yield "left-over-planned", "captain", _address("left-over", known=past)


def _address(name: str, *, known: dict[str, object]) -> str:
    """The page's address from whichever of the club's facts it takes."""
    for keys in (
        (),
        ("match_id",),
        ("team_id",),
        ("team_id", "match_id"),
        ("match_id", "entry_id"),
        ("slug",),
        ("slug", "key"),
        ("slug", "key", "pack_id"),
    ):
        try:
            return reverse(f"desk:{name}", kwargs={key: known[key] for key in keys})
        except NoReverseMatch:
            continue
    raise AssertionError(f"no page is called desk:{name}")
