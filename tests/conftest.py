"""The same few invented people for every test that needs a database."""

from __future__ import annotations

import datetime as dt
import gc
import os
import sqlite3
from collections.abc import Callable, Generator, Iterator
from contextlib import ExitStack, closing
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from django.test.utils import override_settings
from hypothesis import settings

from tests.kept_rows import FIRST_OTHER, rows_kept
from tests.migrated import kept_is_made, kept_is_used, one_migrates
from tests.rooms import ROOMS
from tests.steady import rows_number
from tests.thorough import trials

# How long an example takes says more of the machine than of the code.
settings.register_profile("untimed", deadline=None, max_examples=trials(35, in_full=100))
settings.load_profile("untimed")

# Playwright's loop lives in the test's thread; the live server's queries do not run in it.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")


@dataclass
class World:
    """A club with two teams, four anglers with accounts, one venue and one match being fished.

    Sections A (pegs 1-3) and B (pegs 4-6). Drawn: Maud 1, Perrin 2, Wilmot 4, Odette 5;
    pegs 3 and 6 are empty. A result can be confirmed at once.
    Passwords are all "heron-on-the-wend".
    """

    club: Any
    alders: Any
    teals: Any
    secretary: Any
    captain: Any
    member: Any
    rival: Any
    weigher: Any
    outsider: Any
    other_club: Any
    venue: Any
    match: Any
    sections: dict[str, Any]
    pegs: dict[str, Any]
    entries: dict[str, Any]
    shops: dict[str, Any] = field(default_factory=dict)
    baits: dict[str, Any] = field(default_factory=dict)
    packs: dict[str, Any] = field(default_factory=dict)


PASSWORD = "heron-on-the-wend"
QUICK_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--room", choices=ROOMS, help="Only a part of the tests: see tests/rooms.py.")


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """The slow ones first, lest one be left running alone when all else is done.

    A test that drives a browser has a second try, which the closing lines name: engines stall now
    and then on a busy machine, and one stall in four thousand tests says nothing of the code.
    """
    items.sort(key=lambda item: item.get_closest_marker("slow") is None)
    for item in items:
        if item.get_closest_marker("browser") or item.get_closest_marker("engine"):
            item.add_marker(pytest.mark.flaky(reruns=1))
    if room := config.getoption("--room"):
        left_out = [item for item in items if not ROOMS[room](item)]
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if ROOMS[room](item)]


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, Any, Any]:
    """What is loaded now stays: looked through for rubbish again and again, it would be a tenth of
    the run."""
    gc.disable()
    answer = yield
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)
    gc.enable()
    return answer


@pytest.fixture(autouse=True)
def quick_passwords(settings: Any) -> None:
    """Seven people a test: a slow hash would be most of the run."""
    settings.PASSWORD_HASHERS = QUICK_HASHERS


@pytest.fixture(autouse=True)
def static_files_on_demand(request: pytest.FixtureRequest, settings: Any) -> None:
    """Each new client would first read every static file, a third of what a test of a page takes.
    A live server is started once and does read them, as when it is deployed."""
    if "live_server" not in request.fixturenames:
        settings.WHITENOISE_AUTOREFRESH = True


@pytest.fixture(autouse=True, scope="session")
def answers_leave_at_once() -> Iterator[None]:
    """A live server writes an answer in two parts, and the second would wait 40 ms until a browser
    has said that it got the first. A server that people use holds nothing back either."""
    from django.core.servers.basehttp import WSGIRequestHandler

    patch = pytest.MonkeyPatch()
    patch.setattr(WSGIRequestHandler, "disable_nagle_algorithm", True)
    yield
    patch.undo()


@pytest.fixture(autouse=True, scope="session")
def crowds_are_let_in() -> Iterator[None]:
    """All phones of a test push to one process: that they do so at once is what is tried."""
    from django.conf import settings

    patch = pytest.MonkeyPatch()
    patch.setattr(settings, "PUSHES_AT_ONCE", 100)
    yield
    patch.undo()


@pytest.fixture(autouse=True, scope="session")
def messages_stay_here() -> None:
    """Nothing a test asks for wakes a worker of this machine: messages end in memory."""
    from web.celery import app

    app.conf.broker_url = "memory://"
    app.conf.broker_transport_options = {}


@pytest.fixture(scope="session")
def migrated_once(django_db_blocker: Any) -> Iterator[ExitStack]:
    """Migrating is done once, not in each process of each run: the others wait meanwhile."""
    patch = pytest.MonkeyPatch()
    with ExitStack() as turn:
        turn.enter_context(one_migrates())
        with django_db_blocker.unblock():
            if kept_is_used(patch):
                turn.close()
        yield turn
    patch.undo()


@pytest.fixture(scope="session")
def django_db_setup(
    migrated_once: ExitStack, django_db_setup: None, django_db_blocker: Any
) -> None:
    """Rows are numbered as in an old club's database, with seven digits.

    Numbers go on from test to test: what leans on small ones, or on 9 coming before 10 as text,
    would fail now and then.
    """
    with django_db_blocker.unblock():
        kept_is_made()
        migrated_once.close()
        rows_number(FIRST_OTHER)


@pytest.fixture(scope="session")
def migrated_file(
    tmp_path_factory: pytest.TempPathFactory, django_db_setup: None, django_db_blocker: Any
) -> Path:
    """The migrated database in memory, written to a file once and copied for each test."""
    from django.db import connection

    made = tmp_path_factory.mktemp("database") / "migrated.sqlite3"
    with django_db_blocker.unblock(), closing(sqlite3.connect(made)) as file:
        connection.ensure_connection()
        assert connection.is_in_memory_db()  # never what somebody works with
        connection.connection.backup(file)
    return made


#: What migrating filled and no test changes.
STANDING = {"django_content_type", "auth_permission"}


@pytest.fixture(autouse=True, scope="session")
def emptied_although_it_is_kept() -> Iterator[None]:
    """Between tests that commit, tables are emptied row by row, which the trail refuses anybody.

    A live server may still be answering somebody on the same connection: what its request undoes
    is undone for this too.
    """
    from django.core.management.commands import flush
    from django.db import connection

    operations = type(connection.ops)
    guards_off = _guards_off if connection.vendor == "sqlite" else _guards_off_and_empty_passed_over

    def emptied(self: Any, _style: Any, tables: list[str], **_options: Any) -> list[str]:
        with self.connection.cursor() as cursor:
            before, filled, after = guards_off(cursor, [t for t in tables if t not in STANDING])
        return [*before, *(f'DELETE FROM "{table}"' for table in filled), *after]

    patch = pytest.MonkeyPatch()
    patch.setattr(operations, "sql_flush", emptied)
    patch.setattr(flush, "emit_post_migrate_signal", lambda *_, **__: None)
    yield
    patch.undo()


def _guards_off(cursor: Any, tables: list[str]) -> tuple[list[str], list[str], list[str]]:
    """What takes the guards off, the tables, and what puts the guards back."""
    cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    guards = [row for row in cursor.fetchall() if " BEFORE DELETE " in row[1]]
    return (
        [f"DROP TRIGGER IF EXISTS {name}" for name, _made in guards],
        tables,
        [made.replace("TRIGGER", "TRIGGER IF NOT EXISTS", 1) for _name, made in guards],
    )


def _guards_off_and_empty_passed_over(
    cursor: Any, tables: list[str]
) -> tuple[list[str], list[str], list[str]]:
    """The same on PostgreSQL, where each of a hundred tables truncated would be a new file."""
    role = "SET LOCAL session_replication_role ="
    asked = (f"SELECT '{one}' WHERE EXISTS (SELECT 1 FROM \"{one}\")" for one in tables)
    cursor.execute(" UNION ALL ".join(asked))
    return [f"{role} replica"], [table for (table,) in cursor.fetchall()], [f"{role} origin"]


@pytest.fixture(scope="session")
def world_again(django_db_setup: None, django_db_blocker: Any) -> Callable[[], World]:
    """Puts the world into the database of the test that calls it."""
    with django_db_blocker.unblock(), override_settings(PASSWORD_HASHERS=QUICK_HASHERS):
        again = rows_kept(make_world)
    return lambda: World(**again())


@pytest.fixture
def world(db: None, world_again: Callable[[], World]) -> World:
    return world_again()


@pytest.fixture
def lasting_world(transactional_db: None, world_again: Callable[[], World]) -> World:
    """The same world, committed: for threads, live servers and other processes."""
    return world_again()


def make_world() -> World:
    from matches import models as m

    club = m.Club.objects.create(name="Otterbeck Piscatorials", slug="otterbeck")
    other = m.Club.objects.create(name="Larkmill Rovers Club", slug="larkmill")
    alders = m.Team.objects.create(club=club, name="Otterbeck Alders")
    teals = m.Team.objects.create(club=club, name="Otterbeck Teals")
    people = _people_make()
    venue, match = _match_make(club)
    sections, pegs = _pegs_make(venue, match)
    w = World(
        club=club,
        alders=alders,
        teals=teals,
        secretary=people["Idris"],
        captain=people["Maud"],
        member=people["Wilmot"],
        rival=people["Odette"],
        weigher=people["Tamsin"],
        outsider=people["Ned"],
        other_club=other,
        venue=venue,
        match=match,
        sections=sections,
        pegs=pegs,
        entries={},
    )
    _roles_give(w, people)
    _anglers_draw(w, people)
    _stock_shops(w)
    return w


def _people_make() -> dict[str, Any]:
    from django.contrib.auth.hashers import make_password

    from matches import models as m

    kept = make_password(PASSWORD)  # one salt for all: nobody here guesses
    people = {}
    for name in [
        "Idris Pell",
        "Maud Ferris",
        "Perrin Stoat",
        "Wilmot Crane",
        "Odette Marl",
        "Tamsin Rook",
        "Ned Outwell",
    ]:
        first, last = name.split()
        people[first] = m.Person(
            username=first.lower(), password=kept, first_name=first, last_name=last
        )
    m.Person.objects.bulk_create(people.values())
    return people


def _match_make(club: Any) -> tuple[Any, Any]:
    from matches import models as m

    venue = m.Venue.objects.create(
        club=club,
        name="Tolling Meadow",
        water="Wend",
        cautions="Power lines cross below peg 6: keep poles 30 m away.",
    )
    match = m.Match.objects.create(
        club=club,
        venue=venue,
        name="June Open",
        slug="june-open",
        date=dt.date(2026, 6, 20),
        start_at=dt.datetime(2026, 6, 20, 9, tzinfo=dt.UTC),
        end_at=dt.datetime(2026, 6, 20, 14, tzinfo=dt.UTC),
        state=m.MatchState.WEIGHING,
        groundbait_limit_l=Decimal("20"),
        bait_limit_l=Decimal("2.5"),
        objection_min=0,
    )
    return venue, match


def _pegs_make(venue: Any, match: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    from matches import models as m

    sections = {
        label: m.Section(match=match, label=label, position=i) for i, label in enumerate("AB", 1)
    }
    m.Section.objects.bulk_create(sections.values())
    stands = [m.Peg(venue=venue, number=str(n), position=n, depth_cm=180) for n in range(1, 7)]
    m.Peg.objects.bulk_create(stands)
    pegs = {
        peg.number: m.SectionPeg(
            match=match, section=sections["A" if peg.position < 4 else "B"], peg=peg
        )
        for peg in stands
    }
    m.SectionPeg.objects.bulk_create(pegs.values())
    return sections, pegs


def _roles_give(w: World, people: dict[str, Any]) -> None:
    from matches import models as m

    roles: list[tuple[str, str, Any, Any]] = [
        ("Idris", m.Role.SECRETARY, None, None),
        ("Maud", m.Role.CAPTAIN, w.alders, None),
        ("Tamsin", m.Role.WEIGHER, None, w.match),
        *((n, m.Role.MEMBER, None, None) for n in people if n != "Ned"),
    ]
    m.Membership.objects.bulk_create(
        [
            *(
                m.Membership(club=w.club, person=people[name], role=role, team=team, match=of_match)
                for name, role, team, of_match in roles
            ),
            m.Membership(club=w.other_club, person=people["Ned"], role=m.Role.OWNER),
        ]
    )


def _anglers_draw(w: World, people: dict[str, Any]) -> None:
    from matches import models as m

    drawn = {"1": "Maud", "2": "Perrin", "4": "Wilmot", "5": "Odette"}
    anglers = {
        first: m.Angler(
            club=w.club,
            person=people[first],
            team=w.alders if first in ("Maud", "Wilmot") else w.teals,
            name=people[first].get_full_name(),
        )
        for first in drawn.values()
    }
    m.Angler.objects.bulk_create(anglers.values())
    w.entries |= {
        first: m.Entry(match=w.match, angler=angler, team=angler.team)
        for first, angler in anglers.items()
    }
    m.Entry.objects.bulk_create(w.entries.values())
    m.DrawnPeg.objects.bulk_create(
        m.DrawnPeg(match=w.match, entry=w.entries[first], section_peg=w.pegs[peg])
        for peg, first in drawn.items()
    )


def _stock_shops(w: World) -> None:
    """One shop, two baits: the caster pack of the calculators' worked example, and hemp."""
    from bait import models as b

    w.shops["hut"] = hut = b.Shop.objects.create(club=w.club, key="hut", name="Hobday's Hut")
    w.baits["caster"] = b.Bait.objects.create(
        club=w.club, key="caster", name="Caster", kind=b.BaitKind.ANIMAL, unit="pint"
    )
    w.baits["hemp"] = b.Bait.objects.create(
        club=w.club, key="hemp", name="Hemp", kind=b.BaitKind.PARTICLE, unit="pint"
    )
    w.packs["caster"] = b.Pack.objects.create(
        shop=hut,
        bait=w.baits["caster"],
        key="caster-pint",
        amount=1,
        unit="pint",
        price_pence=420,
    )
    b.PackBreak.objects.create(pack=w.packs["caster"], from_packs=10, price_pence=380)
    w.packs["hemp"] = b.Pack.objects.create(
        shop=hut, bait=w.baits["hemp"], key="hemp-pint", amount=1, unit="pint", price_pence=150
    )
