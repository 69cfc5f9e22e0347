"""How long each bait page of the desk takes, and how many queries: fifty members, three seasons.

`python tests/bench/bench_desk.py [runs]`: the best of so many runs a page, processor time; the
database in memory.
"""

from __future__ import annotations

import os
import sys
import time

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

    from tests.big_club import big_club_make, page_addresses

    settings.ALLOWED_HOSTS.append("testserver")
    call_command("migrate", verbosity=0)
    club = big_club_make()
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 5

    def milliseconds(client: Client, address: str) -> float:
        began = time.process_time()
        assert client.get(address).status_code == 200, address
        return (time.process_time() - began) * 1000

    def queries(client: Client, address: str) -> int:
        with CaptureQueriesContext(connection) as caught:
            client.get(address)
        return len(caught)

    print(f"{'page':<18} queries    ms")
    for name, who, address in page_addresses(club):
        client = Client()
        client.force_login(getattr(club, who))
        best = min(milliseconds(client, address) for _ in range(runs))
        print(f"{name:<18} {queries(client, address):>7} {best:>5.0f}")


main()
