"""The weigh board of two hundred pegs: the whole page, what a board asks every few seconds when
nothing came, and when one weight came. The reference is a view with nothing in it."""

from __future__ import annotations

from collections.abc import Callable
from time import process_time
from typing import Any

from tests.bench import site  # sets Django up as it is read
from tests.bench.parts import part, run
from tests.bench.rows import QUICK, in_turn, tell

ROUNDS = 5 if QUICK else 20


def main() -> None:
    from tests.big_match import big_match_make

    world = big_match_make()
    client = site.client_of(world.secretary)
    at = f"/desk/matches/{world.match.pk}/weigh/"
    client.get(at)
    whole = client.get(f"{at}changes/")
    have = "~".join(f"{p['name']}.{p['digest']}" for p in whole.json()["parts"])
    came = {"have": have.replace("section-3", "x")}
    asked: dict[str, Callable[[], Any]] = {
        "weigh board": lambda: client.get(at),
        "asked again, nothing came": lambda: client.get(
            f"{at}changes/", HTTP_IF_NONE_MATCH=whole["ETag"]
        ),
        "asked again, a weight came": lambda: client.get(f"{at}changes/", came),
    }
    for name, ask in asked.items():
        with part(name):
            answer = ask()
            assert answer.status_code in (200, 304)
            turns = in_turn(ask, site.bare_view(client), rounds=ROUNDS, clock=process_time)
            size = f"200 pegs, {len(answer.content) / 1000:.1f} kB"
            said = f"{site.queries_of(ask)} queries"
            tell(turns.row(name, size, reference="a bare view", said=said))


if __name__ == "__main__":
    run(main)
