"""Ten thousand clubs on one Saturday: measure here, simulate the day, write the tables.

    .venv/bin/python -m tests.growth                 (on SQLite, in a file of its own)
    .venv/bin/python .ci/scripts/with_servers.py postgres -- .venv/bin/python -m tests.growth

About two minutes. `web/docs/growth.md` holds what it wrote and says how to read it.
"""

from __future__ import annotations

import argparse
import os
import platform
import tempfile

FOLDER = tempfile.mkdtemp(prefix="drawbag-growth-")
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
os.environ["VAR_DIR"] = FOLDER

import django  # noqa: E402

django.setup()

from django.conf import settings  # noqa: E402
from django.db import connection  # noqa: E402
from django.test.utils import setup_test_environment  # noqa: E402

from tests.growth.measured import measure  # noqa: E402
from tests.growth.partition import paths_to_club  # noqa: E402
from tests.growth.tables import measured_table, partition_table, scaled_tables  # noqa: E402


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--seed", type=int, default=20260620)
    asked.add_argument("--clubs", type=int, nargs="+", default=[100, 1_000, 10_000])
    given = asked.parse_args()
    setup_test_environment()
    # A file as in use, not memory: what is measured is a durable commit.
    name = f"{FOLDER}/growth.sqlite3" if connection.vendor == "sqlite" else None
    connection.settings_dict["TEST"]["NAME"] = name
    connection.creation.create_test_db(verbosity=0, autoclobber=True)
    try:
        settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
        found = measure()
        print(f"On {connection.vendor}, {platform.machine()}, Python {platform.python_version()}\n")
        print(measured_table(found))
        print(scaled_tables(found, clubs=given.clubs, seed=given.seed))
        print(partition_table(paths_to_club()))
    finally:
        connection.creation.destroy_test_db("", verbosity=0)


main()
