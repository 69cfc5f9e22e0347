"""How long the public page of a result with two hundred pegs takes to be built, how many queries,
and what somebody costs who holds it already; its file and its picture too.

`python tests/bench/bench_board.py [runs]`: the best of so many runs, processor time; the database
in memory.
"""

from __future__ import annotations

import os
import sys
import time

os.environ["DATABASE_URL"] = "sqlite://:memory:"
os.environ["BROKER_URL"] = "memory://"
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "web.settings")
sys.path.insert(0, os.getcwd())  # noqa: PTH109

AT = "/board/otterbeck/june-open/"


def main() -> None:
    import django

    django.setup()
    from django.conf import settings
    from django.core.management import call_command
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext

    from matches.writes.bulletins import bulletin_publish
    from tests.big_match import big_match_make

    settings.ALLOWED_HOSTS.append("testserver")
    call_command("migrate", verbosity=0)
    world = big_match_make()
    bulletin_publish(world.secretary, match=world.match)
    client = Client()
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    held = client.get(AT)["ETag"]
    asked = {
        "page": (AT, {}),
        "page held": (AT, {"HTTP_IF_NONE_MATCH": held}),
        "file": (f"{AT}1/result.json", {}),
        "picture": (f"{AT}1/card.svg", {}),
    }
    print(f"{'asked':<10} queries    ms   bytes")
    for name, (address, headers) in asked.items():
        took = []
        for _ in range(runs):
            began = time.process_time()
            answer = client.get(address, **headers)
            took.append(time.process_time() - began)
        with CaptureQueriesContext(connection) as caught:
            client.get(address, **headers)
        assert answer.status_code == (304 if headers else 200)
        print(f"{name:<10} {len(caught):>7} {min(took) * 1000:>5.0f} {len(answer.content):>7}")


main()
