"""How the cost of what is stored and shown grows: facts taken in, the board page, the weigh board;
each beside its reference. Each size has a transaction of its own, taken back afterwards, but the
facts, which are stored."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from typing import Any

from tests.bench import bench_sync as sync
from tests.bench import site  # sets Django up as it is read
from tests.bench.growing import Work, grown
from tests.bench.parts import part, run
from tests.bench.rows import QUICK, Curve, tell

PEGS = (20, 200) if QUICK else (20, 200, 1_000)
CELLS, ROUNDS = 6, 3
FACTS = (5, 50, 500)


def main() -> None:
    from tests.conftest import make_world

    for title, look in (("board", board), ("weigh", weigh_board)):
        with part(title):
            tell(pages(title, look))
    world = make_world()
    tell(taken_in(world, site.client_of(world.weigher)))


def taken_in(world: Any, client: Any) -> Curve:
    """Both tell their own seconds: the facts are made while no clock runs."""
    ours, theirs = [], []
    for size in FACTS:
        made = [sync.batch_of(world, sync.feed_note)[:size] for _ in range(2 * ROUNDS)]
        ours.append(min(sync.through_endpoint(client, facts) for facts in made[:ROUNDS]) * 1e3)
        theirs.append(min(sync.through_bulk_create(world, facts) for facts in made[ROUNDS:]) * 1e3)
    title, of = f"Facts taken in, {site.database()}", "facts in a push"
    return Curve("sync", title, of, FACTS, tuple(ours), "bulk_create", tuple(theirs))


def pages(key: str, look: Callable[[Any], Work]) -> Curve:
    title = {"board": "The public page of a result", "weigh": "The weigh board"}[key]
    with_pegs = PegsMade(look)
    try:
        return grown(key, title, "pegs", PEGS, with_pegs.make, reference="a bare table")
    finally:
        with_pegs.close()


class PegsMade:
    """The match of one size after another: the last is taken back before the next is made."""

    def __init__(self, look: Callable[[Any], Work]) -> None:
        self.look = look
        self.held: Any = None

    def make(self, pegs: int) -> tuple[Work, Work]:
        from tests.big_match import big_match_make

        self.close()
        self.held = taken_back()
        self.held.__enter__()
        world = big_match_make(pegs=pegs, weighed=pegs * 4 // 5)
        return self.look(world), bare_table(pegs)

    def close(self) -> None:
        if self.held is not None:
            self.held.__exit__(None, None, None)
            self.held = None


@contextmanager
def taken_back() -> Iterator[None]:
    from django.db import transaction

    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def board(world: Any) -> Work:
    from matches.writes.bulletins import bulletin_publish

    bulletin_publish(world.secretary, match=world.match)
    return partial(asked, site.client_of(), "/board/otterbeck/june-open/")


def weigh_board(world: Any) -> Work:
    at = f"/desk/matches/{world.match.pk}/weigh/"
    return partial(asked, site.client_of(world.secretary), at)


def asked(client: Any, address: str) -> None:
    assert client.get(address).status_code == 200, address


def bare_table(rows: int) -> Work:
    """The reference: a template of Django with so many rows of six cells, no database."""
    from django.template import Context, Template

    cells = [[f"{n}.{k}" for k in range(CELLS)] for n in range(rows)]
    page = Template(
        "<table>{% for row in rows %}<tr>{% for cell in row %}<td>{{ cell }}</td>{% endfor %}</tr>"
        "{% endfor %}</table>"
    )
    return lambda: page.render(Context({"rows": cells}))


if __name__ == "__main__":
    run(main)
