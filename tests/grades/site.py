"""The invented club, served from a folder of its own, and the address of each page in it.

`demo(folder)` starts it; only then may `rows` be read, which is of that folder's database.
"""

from __future__ import annotations

import os
import subprocess
import sys
import threading
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
START_S = 180
#: Who reads, by the name they sign in with.
PEOPLE = {"own": "wilmot", "secretary": "idris"}
#: Of the match to come, still being planned and ordered for; the rest is of one that ended.
TO_COME = [
    *("desk:settings", "desk:limits", "desk:entries", "desk:invitation", "desk:plan", "desk:why"),
    *("desk:suggestion", "desk:mixing", "desk:throws", "desk:where", "desk:team", "desk:order"),
    "desk:plan-giving",
]
TODAY = ("desk:weigh",)
SLUGS = ("meadow-shield-", "bend-knock-up-", "bend-league-")
NEVER = threading.Event()


@contextmanager
def demo(folder: Path) -> Iterator[str]:
    """Its address, while it runs. Django is set up for its database."""
    words = [sys.executable, "manage.py", "demo"]
    # Letters are offered, and go nowhere: port 9 throws away what it is sent.
    mail = {"EMAIL_URL": "smtp://localhost:9"}
    told = folder / "demo.log"
    with told.open("wb") as log:
        running = subprocess.Popen(
            words,
            cwd=ROOT,
            env={**os.environ, "VAR_DIR": str(folder), **mail},
            stdout=log,
            stderr=log,
        )
        try:
            yield _begun(running, told, folder)
        finally:
            running.terminate()
            running.wait()


def _begun(running: subprocess.Popen[bytes], told: Path, folder: Path) -> str:
    for _second in range(START_S):
        lines = told.read_text(encoding="utf-8").splitlines()
        for line in lines:
            if line.startswith("Open http://"):
                _set_up(folder)
                return line.split()[1].rstrip("/")
        if running.poll() is not None:
            break
        NEVER.wait(1)
    raise SystemExit("The demo did not start:\n" + told.read_text(encoding="utf-8"))


def _set_up(folder: Path) -> None:
    os.environ |= {"VAR_DIR": str(folder / "demo"), "DJANGO_SETTINGS_MODULE": "web.settings"}
    os.environ |= {"DATABASE_URL": "", "SECRET_KEY": "", "DJANGO_ALLOW_ASYNC_UNSAFE": "true"}
    import django

    django.setup()


def paths() -> dict[str, str]:
    """Where each graded page is, by its name."""
    from matches.models import Match
    from tests.addresses import addresses

    from .pages import readers

    matches = [Match.objects.get(slug__startswith=slug) for slug in SLUGS]
    made = _made(matches[-1])
    ended, today, to_come = (dict(addresses(_parts(match) | made)) for match in matches)
    every = ended | {n: today[n] for n in TODAY} | {n: to_come[n] for n in TO_COME}
    every["desk:prize-receipt"] = _of_a_winner()
    return {name: every[name] for name in readers()}


def cookies() -> dict[str, str]:
    """A session of each reader: {"out": "", "own": "sessionid=…", …}."""
    from django.conf import settings
    from django.test import Client

    from matches.models import Person

    made = {"out": ""}
    for who, name in PEOPLE.items():
        client = Client(HTTP_HOST="localhost")
        client.force_login(Person.objects.get(username=name))
        made[who] = client.cookies[settings.SESSION_COOKIE_NAME].value
    return made


def _parts(match: Any) -> dict[str, Any]:
    """What the addresses of this match's pages are made of."""
    from bait.models import Bait, Pack, Shop
    from matches import models as m

    club = match.club
    team = m.Team.objects.get(club=club, name="Otterbeck Alders")
    own = m.Entry.objects.get(match=match, angler__person__username=PEOPLE["own"])
    league = m.League.objects.filter(club=club).order_by("slug").first()
    pool = m.Pool.objects.order_by("pk").first()
    bait, pack = Bait.objects.get(club=club, key="caster"), Pack.objects.order_by("pk").first()
    shop = Shop.objects.get(pk=pack.shop_id) if pack else None
    peg = m.Peg.objects.filter(venue=match.venue).order_by("position").first()
    assert league and pool and pack and shop and peg
    numbers = {"pool_id": pool.pk, "peg_id": peg.pk, "pack_id": pack.pk, "entry_id": own.pk}
    numbers |= {"match_id": match.pk, "team_id": team.pk, "venue_id": match.venue_id, "number": 1}
    slugs = {"slug": club.slug, "club": club.slug, "match": match.slug, "league": league.slug}
    keys = {"league": league.slug, "season": own.angler_id, "bait": bait.key}
    keys |= dict.fromkeys(("shop", "price", "pack"), shop.key)
    # Of what is only sent to, or is no page.
    others = {"objection_id": 1, "work_id": uuid.uuid4(), "key_id": 1, "secret": "none"}
    return numbers | slugs | others | {f"key of {of}": key for of, key in keys.items()}


def _of_a_winner() -> str:
    from django.urls import reverse

    from matches.models import PrizePaid

    prize = PrizePaid.objects.order_by("pk").first()
    assert prize
    return reverse("desk:prize-receipt", args=[prize.entry.match_id, prize.entry_id])


def _made(match: Any) -> dict[str, Any]:
    """An invitation, a letter's link and a file that was looked at."""
    from matches import models as m
    from matches.reads.invitations import invitation_code
    from matches.writes.addresses import address_code
    from matches.writes.imports import import_file_keep
    from matches.writes.invitations import invitation_make

    secretary = m.Person.objects.get(username=PEOPLE["secretary"])
    kept = import_file_keep(
        secretary,
        club=match.club,
        kind=m.ImportKind.ANGLERS,
        about="",
        name="roster.csv",
        raw=b"Name,Team\nAda Fenn,Otterbeck Alders\nBo Larch,Otterbeck Teals\n",
        columns={"name": 0, "team": 1},
    )
    code = invitation_code(invitation_make(secretary, match=match, days=14))
    own = m.Person.objects.get(username=PEOPLE["own"])
    letter = address_code(own, address="wilmot@post.example")
    parts = {"code": code, "letter": letter, "uidb64": "MQ", "token": "a-b"}
    return {**parts, "file_id": kept.pk, "kind": "anglers"}
