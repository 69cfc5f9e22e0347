"""The site in this process, with a database of its own: import this before anything of Django.

On SQLite a file as in use, so that a commit is durable; on PostgreSQL (`DATABASE_URL`) a copy of
the server's migrated database. Both go when the process ends.
"""

from __future__ import annotations

import atexit
import logging
import os
import shutil
import tempfile
import uuid
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from .migrated import migrated_file

if TYPE_CHECKING:
    from django.test import Client

FOLDER: Final = Path(tempfile.mkdtemp(prefix="drawbag-bench-"))
atexit.register(shutil.rmtree, FOLDER, ignore_errors=True)


def _sqlite_make() -> str:
    file = FOLDER / "bench.sqlite3"
    shutil.copy(migrated_file(), file)
    return f"sqlite:///{file}"


def _postgres_make(url: str) -> str:
    import psycopg

    server, _slash, template = url.rpartition("/")
    name = f"bench_{uuid.uuid4().hex[:12]}"
    with psycopg.connect(f"{server}/template1", autocommit=True) as line:
        line.execute(f'CREATE DATABASE "{name}" TEMPLATE "{template}"')
    return f"{server}/{name}"


def _begin() -> None:
    given = os.environ.get("DATABASE_URL", "")
    own = given.startswith("postgres")
    os.environ["DATABASE_URL"] = _postgres_make(given) if own else _sqlite_make()
    os.environ["VAR_DIR"] = str(FOLDER)
    os.environ["BROKER_URL"] = "memory://"
    os.environ["DJANGO_SETTINGS_MODULE"] = "web.settings"
    os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")  # Playwright's loop is here
    import django
    from django.conf import settings
    from django.core.management import call_command

    django.setup()
    logging.disable(logging.WARNING)
    settings.ALLOWED_HOSTS = ["*"]
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    if own:
        call_command("migrate", verbosity=0)  # where the server's own database was empty


_begin()


def database() -> str:
    from django.db import connection

    return {"sqlite": "SQLite", "postgresql": "PostgreSQL"}[connection.vendor]


def client_of(person: Any = None) -> Client:
    from django.test import Client

    client = Client()
    if person is not None:
        client.force_login(person)
    return client


def queries_of(ask: Callable[[], object]) -> int:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(connection) as caught:
        ask()
    return len(caught)


def bare_view(client: Client) -> Callable[[], None]:
    """The reference for a page: a view with nothing in it but a line of text, asked in this
    process."""

    def ask() -> None:
        assert client.get("/healthz").status_code == 200

    return ask
