"""Which tests a run takes: all of them once, and on both databases those that are about one.

A service keeps its data in PostgreSQL or SQLite. Where PostgreSQL is there, the tests that ask a
database and nothing else are run on it, and on SQLite those that drive a browser, start processes
or read pages: nearly every statement is met on both. `make thorough` runs all on both.
"""

from __future__ import annotations

import re

import pytest

DATABASE_FIXTURES = {"db", "transactional_db", "live_server", "shared_database"}
# On PostgreSQL pages say the same; what a test has to start or to wait for is waited for once.
ON_POSTGRES = re.compile(r"tests/(matches|bait|web|races)/(?!.*_pages\.py)")
NOT_ON_POSTGRES = ("browser", "redis", "slow", "engine")
# What the two databases lock, guard, count or sort each in a way of its own.
ON_BOTH = re.compile(r"tests/races/|test_(sync_|upgrade|trail|bulletins|facts_refused_by_database)")


def asks_database(item: pytest.Item) -> bool:
    fixtures = set(getattr(item, "fixturenames", ()))
    return bool(item.get_closest_marker("django_db") or fixtures & DATABASE_FIXTURES)


def on_postgres(item: pytest.Item) -> bool:
    return (
        bool(ON_POSTGRES.match(item.nodeid))
        and asks_database(item)
        and not any(item.get_closest_marker(name) for name in NOT_ON_POSTGRES)
    )


def left_by_postgres(item: pytest.Item) -> bool:
    return not on_postgres(item) or bool(ON_BOTH.search(item.nodeid))


ROOMS = {
    "postgres": on_postgres,
    "left-by-postgres": left_by_postgres,
    "without-database": lambda item: not asks_database(item),
}
