"""The public page of a result with two hundred pegs, and what somebody costs who holds it already;
its file and its picture too. The reference is a view with nothing in it."""

from __future__ import annotations

from time import process_time
from typing import Any

from tests.bench import site  # sets Django up as it is read
from tests.bench.parts import part, run
from tests.bench.rows import QUICK, in_turn, tell

AT = "/board/otterbeck/june-open/"
ROUNDS = 5 if QUICK else 20


def main() -> None:
    from matches.writes.bulletins import bulletin_publish
    from tests.big_match import big_match_make

    world = big_match_make()
    bulletin_publish(world.secretary, match=world.match)
    client = site.client_of()
    bare = site.bare_view(client)
    held = client.get(AT)["ETag"]
    asked: dict[str, tuple[str, dict[str, Any]]] = {
        "board page": (AT, {}),
        "board page, held already": (AT, {"HTTP_IF_NONE_MATCH": held}),
        "its file": (f"{AT}1/result.json", {}),
        "its picture": (f"{AT}1/card.svg", {}),
    }
    for name, (address, headers) in asked.items():
        with part(name):

            def ask(address: str = address, headers: dict[str, Any] = headers) -> Any:
                answer = client.get(address, **headers)
                assert answer.status_code == (304 if headers else 200), address
                return answer

            size = f"200 pegs, {len(ask().content) / 1000:.1f} kB"
            turns = in_turn(ask, bare, rounds=ROUNDS, clock=process_time)
            said = f"{site.queries_of(ask)} queries"
            tell(turns.row(name, size, reference="a bare view", said=said))


if __name__ == "__main__":
    run(main)
