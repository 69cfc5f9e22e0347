"""What a line's price breaks do to its cost, count by count; nothing is solved here."""

from __future__ import annotations

from dataclasses import dataclass

from matches.reckon.money import pence_format

from .request import Pack


@dataclass(frozen=True, slots=True)
class Step:
    """A price break beside the price before it, in pence.

    `pays_from`: the smallest count at which buying `start` packs costs less than buying that many
    at the price before; `start` itself where going up to the break never pays.
    """

    start: int
    price: int
    price_before: int

    @property
    def cost(self) -> int:
        """Of `start` packs."""
        return self.start * self.price

    @property
    def cost_before(self) -> int:
        """Of one pack fewer, at the price before."""
        return (self.start - 1) * self.price_before

    @property
    def last_costs(self) -> int:
        """What the pack that reaches the break adds: below zero, it costs less than nothing."""
        return self.cost - self.cost_before

    @property
    def pays_from(self) -> int:
        if not self.price_before:
            return self.start
        return min(self.start, self.cost // self.price_before + 1)

    def as_json(self) -> dict[str, object]:
        return {
            "from_packs": self.start,
            "price": pence_format(self.price),
            "price_before": pence_format(self.price_before),
            "cost": pence_format(self.cost),
            "cost_one_fewer": pence_format(self.cost_before),
            "last_costs": pence_format(self.last_costs),
            "pays_from": self.pays_from,
        }


def pack_steps(pack: Pack) -> tuple[Step, ...]:
    """Every break of a pack, the lowest first."""
    price, found = pack.price, []
    for step in pack.breaks:
        found.append(Step(step.from_packs, step.price, price))
        price = step.price
    return tuple(found)


def step_reached(pack: Pack, *, packs: int) -> Step | None:
    """The break at whose price so many packs are bought."""
    return next((s for s in reversed(pack_steps(pack)) if s.start <= packs), None)


def step_ahead(pack: Pack, *, packs: int) -> Step | None:
    """The next break that so many packs do not reach, where it may be bought."""
    ahead = next((s for s in pack_steps(pack) if s.start > packs), None)
    if ahead is None or (pack.max_packs is not None and ahead.start > pack.max_packs):
        return None
    return ahead
