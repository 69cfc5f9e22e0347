"""Every bait page of the desk: fifty members, three seasons. The reference is a view with nothing
in it; how many queries each takes is counted too."""

from __future__ import annotations

from time import process_time

from tests.bench import site  # sets Django up as it is read
from tests.bench.parts import part, run
from tests.bench.rows import QUICK, Row, in_turn, tell

MEMBERS, MATCHES = (10, 10) if QUICK else (50, 60)
ROUNDS = 3 if QUICK else 10


def main() -> None:
    from tests.big_club import big_club_make, page_addresses

    club = big_club_make(members=MEMBERS, matches=MATCHES)
    size = f"{MEMBERS} members, {MATCHES} matches"
    counts: dict[str, int] = {}
    for name, who, address in page_addresses(club):
        with part(f"desk page “{name}”", size):
            client = site.client_of(getattr(club, who))

            def ask(address: str = address) -> None:
                assert client.get(address).status_code == 200, address  # noqa: B023

            ask()
            counts[name] = site.queries_of(ask)
            turns = in_turn(ask, site.bare_view(client), rounds=ROUNDS, clock=process_time)
            said = f"{counts[name]} queries"
            tell(turns.row(f"desk page “{name}”", size, reference="a bare view", said=said))
    worst = max(counts, key=lambda name: counts[name])
    tell(
        Row(
            "most queries of a desk page",
            size,
            ours=counts[worst],
            unit="queries",
            aims=("desk-queries",),
            said=f"“{worst}”",
        )
    )


if __name__ == "__main__":
    run(main)
