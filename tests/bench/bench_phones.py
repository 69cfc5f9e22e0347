"""A thousand phones at once, each with a day's facts, against the same facts from one phone.

Run it with: python tests/bench/bench_phones.py
(on PostgreSQL: python .ci/scripts/with_servers.py postgres -- python tests/bench/bench_phones.py)
"""

from __future__ import annotations

import os
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from time import perf_counter
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))
FOLDER = tempfile.mkdtemp(prefix="drawbag-bench-")
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
os.environ["VAR_DIR"] = FOLDER

import django  # noqa: E402

django.setup()

from django.conf import settings  # noqa: E402
from django.db import connection, connections  # noqa: E402
from django.test.utils import setup_test_environment  # noqa: E402

from matches.models import Fact  # noqa: E402
from tests.conftest import make_world  # noqa: E402
from tests.web.phone import Phone  # noqa: E402

PHONES, EACH, AT_ONCE = 1_000, 10, 60
AIM = 0.2  # of the rows a second of one phone that sends 500 at a time


def main() -> int:
    setup_test_environment()
    connection.settings_dict["TEST"]["NAME"] = (
        f"{FOLDER}/bench.sqlite3" if connection.vendor == "sqlite" else None
    )
    connection.creation.create_test_db(verbosity=0, autoclobber=True)
    try:
        settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
        world = make_world()
        alone = _rate([_filled(world, PHONES * EACH)])
        ratio = _rate([_filled(world, EACH) for _ in range(PHONES)]) / alone
        assert Fact.objects.count() == 2 * PHONES * EACH
    finally:
        connection.creation.destroy_test_db("", verbosity=0)
    print(f"{connection.vendor:>10}: {PHONES} phones at once against one: {ratio:.2f} (aim {AIM})")
    return 0 if ratio >= AIM else 1


def _filled(world: Any, many: int) -> Phone:
    phone = Phone(world.weigher, world.match)
    for n in range(many):
        phone.keep("peg_note", "1", {"note": str(n)})
    return phone


def _rate(phones: list[Phone]) -> float:
    """Rows a second until the last outbox is empty."""
    rows = sum(len(phone.outbox) for phone in phones)
    start = perf_counter()
    with ThreadPoolExecutor(AT_ONCE) as crowd:
        list(crowd.map(_send, phones))
    return rows / (perf_counter() - start)


def _send(phone: Phone) -> None:
    try:
        while phone.outbox:
            phone.take_in(phone.push(list(phone.outbox.values())[:500]))
    finally:
        connections.close_all()


if __name__ == "__main__":
    sys.exit(main())
