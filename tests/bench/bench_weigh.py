"""How long the weigh board takes with two hundred pegs, and how many queries: the whole page, what
a board asks every few seconds when nothing came, and when one weight came.

`python tests/bench/bench_weigh.py [runs]`: the best of so many runs, processor time; the database
in memory.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from typing import Any

os.environ["DATABASE_URL"] = "sqlite://:memory:"
os.environ["BROKER_URL"] = "memory://"
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
sys.path.insert(0, os.getcwd())  # noqa: PTH109


def main() -> None:
    import django

    django.setup()
    from django.conf import settings
    from django.core.management import call_command
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext

    from tests.big_match import big_match_make

    settings.ALLOWED_HOSTS.append("testserver")
    call_command("migrate", verbosity=0)
    world = big_match_make()
    client = Client()
    client.force_login(world.secretary)
    at = f"/desk/matches/{world.match.pk}/weigh/"
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    client.get(at)
    whole = client.get(f"{at}changes/")
    have = "~".join(f"{p['name']}.{p['digest']}" for p in whole.json()["parts"])
    asked: dict[str, Callable[[], Any]] = {
        "page": lambda: client.get(at),
        "nothing came": lambda: client.get(f"{at}changes/", HTTP_IF_NONE_MATCH=whole["ETag"]),
        "one part came": lambda: client.get(
            f"{at}changes/", {"have": have.replace("section-3", "x")}
        ),
    }
    print(f"{'asked':<14} queries    ms   bytes")
    for name, ask in asked.items():
        took = []
        for _ in range(runs):
            began = time.process_time()
            answer = ask()
            took.append(time.process_time() - began)
        with CaptureQueriesContext(connection) as caught:
            ask()
        assert answer.status_code in (200, 304)
        print(f"{name:<14} {len(caught):>7} {min(took) * 1000:>5.0f} {len(answer.content):>7}")


main()
