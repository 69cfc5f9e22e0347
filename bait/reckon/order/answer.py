"""The answer to an order, and its JSON."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from matches.reckon.money import pence_format

from ..units import amount_format
from .shares import Share

Status = Literal["optimal", "short", "best_found"]


@dataclass(frozen=True, slots=True)
class OrderLine:
    """Whole packs of one line, `unit_price` pence each at this count."""

    pack: str
    supplier: str
    bait: str
    packs: int
    unit_price: int

    @property
    def cost(self) -> int:
        return self.packs * self.unit_price


@dataclass(frozen=True, slots=True)
class BaitAmount:
    """An exact amount of a bait; `why` says why it cannot be had, where that is the case."""

    bait: str
    amount: Fraction
    unit: str
    why: str | None = None

    def as_json(self) -> dict[str, object]:
        entry: dict[str, object] = {
            "bait": self.bait,
            "amount": amount_format(self.amount),
            "unit": self.unit,
        }
        return entry if self.why is None else entry | {"why": self.why}


@dataclass(frozen=True, slots=True)
class OrderAnswer:
    """An order worked out. Money in pence; lines by pack id, baits and members by id.

    `lower_bound`: no order that covers the same can cost less. `settled`: also the winner of
    every tie; without it the status is "best_found" even where the total is proved.
    """

    goods: int
    delivery: int
    lines: tuple[OrderLine, ...]
    left_over: tuple[BaitAmount, ...]
    short: tuple[BaitAmount, ...]
    shares: tuple[Share, ...]
    lower_bound: int
    settled: bool

    @property
    def total(self) -> int:
        return self.goods + self.delivery

    @property
    def status(self) -> Status:
        if not self.settled:
            return "best_found"
        return "short" if self.short else "optimal"

    def as_json(self) -> dict[str, object]:
        """The response of the API."""
        return {
            "status": self.status,
            "total": pence_format(self.total),
            "goods": pence_format(self.goods),
            "delivery": pence_format(self.delivery),
            "lines": [_line_json(line) for line in self.lines],
            "left_over": [amount.as_json() for amount in self.left_over],
            "short": [amount.as_json() for amount in self.short],
            "shares": [_share_json(share) for share in self.shares],
            "proof": {
                "lower_bound": pence_format(self.lower_bound),
                "gap": pence_format(self.total - self.lower_bound),
            },
        }


def _line_json(line: OrderLine) -> dict[str, object]:
    return {
        "pack": line.pack,
        "supplier": line.supplier,
        "bait": line.bait,
        "packs": line.packs,
        "unit_price": pence_format(line.unit_price),
        "cost": pence_format(line.cost),
    }


def _share_json(share: Share) -> dict[str, object]:
    return {
        "member": share.member,
        "due": pence_format(share.due),
        "alone": None if share.alone is None else pence_format(share.alone),
        "saving": None if share.saving is None else pence_format(share.saving),
    }
