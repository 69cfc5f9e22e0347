"""How long a small read of the API takes, beside a view of Django's own with nothing in it.

Asked in this process, where the processor's own time is taken, and through gunicorn (2 processes of
4 threads) over loopback, by the clock on the wall.
"""

from __future__ import annotations

import http.client
from functools import partial
from time import perf_counter, process_time

from tests.bench import site  # sets Django up as it is read
from tests.bench.parts import part, run
from tests.bench.rows import QUICK, in_turn, tell
from tests.bench.served import gunicorn, session_of

TIMES, WARM = 30 if QUICK else 100, 10


def main() -> None:
    from django.conf import settings

    from tests.conftest import make_world

    world = make_world()
    client = site.client_of(world.member)
    reads = {
        "who is signed in": "/api/v1/me",
        "a match": f"/api/v1/matches/{world.match.pk}",
        "a page of facts": f"/api/v1/sync/facts?match={world.match.pk}",
    }
    cookie = f"{settings.SESSION_COOKIE_NAME}={session_of(world.member)}"

    def in_process(address: str) -> None:
        assert client.get(address).status_code == 200, address

    for words, address in reads.items():
        size = f"in this process, {site.database()}"
        with part(words, size):
            ask, bare = partial(in_process, address), partial(in_process, "/healthz")
            for _ in range(WARM):
                ask()
            turns = in_turn(ask, bare, rounds=TIMES, clock=process_time)
            tell(turns.row(words, size, reference="a bare view", aims=("api-read",)))
    with gunicorn() as port:
        for words, address in reads.items():
            size = f"through gunicorn, {site.database()}"
            with part(words, size):
                ask = partial(over, port, address, cookie)
                bare = partial(over, port, "/healthz", "")
                for _ in range(WARM):
                    ask()
                turns = in_turn(ask, bare, rounds=TIMES, clock=perf_counter)
                tell(turns.row(words, size, reference="a bare view", aims=("api-read",)))


def over(port: int, address: str, cookie: str) -> None:
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    line.request("GET", address, headers={"Cookie": cookie})
    answer = line.getresponse()
    answer.read()
    line.close()
    assert answer.status == 200, (address, answer.status)


if __name__ == "__main__":
    run(main)
