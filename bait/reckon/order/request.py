"""What is asked of an order: who wants what, what is in hand, who sells it and for how much."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Demand:
    """A member wants `amount` of a bait, in `unit`. Several of one bait add up."""

    member: str
    bait: str
    amount: Fraction
    unit: str


@dataclass(frozen=True, slots=True)
class Stock:
    """Bait in hand: a member's own, or the team's when `member` is None."""

    bait: str
    amount: Fraction
    unit: str
    member: str | None = None


@dataclass(frozen=True, slots=True)
class Supplier:
    """A shop's terms, in pence. `free_from` None: the fee is paid however much is bought."""

    id: str
    fee: int = 0
    minimum: int = 0
    free_from: int | None = None


@dataclass(frozen=True, slots=True)
class PriceBreak:
    """From this many packs on, every pack of the line costs `price` pence."""

    from_packs: int
    price: int


@dataclass(frozen=True, slots=True)
class Pack:
    """One line of a price list: whole packs of `amount` in `unit`, `price` pence each.

    `bought`: so many are bought already. They are part of the order: at least so many are on it,
    and breaks, minimum and delivery are reckoned on the whole line and the whole supplier.
    """

    id: str
    supplier: str
    bait: str
    amount: Fraction
    unit: str
    price: int
    breaks: tuple[PriceBreak, ...] = ()
    max_packs: int | None = None
    bought: int = 0


@dataclass(frozen=True, slots=True)
class OrderRequest:
    """One order to work out. `densities` holds kilograms a litre of the baits that have it."""

    demands: tuple[Demand, ...]
    suppliers: tuple[Supplier, ...]
    packs: tuple[Pack, ...]
    stock: tuple[Stock, ...] = ()
    densities: dict[str, Fraction] = field(default_factory=dict)
    currency: str = "GBP"
    compare_alone: bool = True
