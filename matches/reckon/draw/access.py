"""Whether everybody who asks for an accessible peg can have one, teams kept apart."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

Held = tuple[str, int]


def everyone_fits(
    asking: Mapping[str, int], *, free: Sequence[int], held: Collection[Held] = ()
) -> bool:
    """Whether each who asks can sit at an accessible peg, no two of one team in one section.

    `asking`: how many of each team are still to draw; `free`: accessible pegs left in each
    section; `held`: team and section of those who have drawn. By augmenting paths (Ford and
    Fulkerson), so the answer is exact.
    """
    seats = _Seats(free, held)
    return all(seats.add(team) for team, many in asking.items() for _ in range(many))


class _Seats:
    """A seating of some who ask, which makes way for one more as long as any seating can."""

    def __init__(self, free: Sequence[int], held: Collection[Held]) -> None:
        self.free = {section: many for section, many in enumerate(free) if many}
        self.held = held
        self.of: dict[int, set[str]] = {section: set() for section in self.free}

    def add(self, team: str) -> bool:
        return self._seat(team, tried=set())

    def _seat(self, team: str, *, tried: set[int]) -> bool:
        for section, many in self.free.items():
            seated = self.of[section]
            if section in tried or team in seated or (team, section) in self.held:
                continue
            tried.add(section)
            if len(seated) < many:
                seated.add(team)
                return True
            for other in sorted(seated):
                if self._seat(other, tried=tried):
                    seated.discard(other)
                    seated.add(team)
                    return True
        return False
