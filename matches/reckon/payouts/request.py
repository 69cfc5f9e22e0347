"""What is asked of the payouts calculator, and the reading of it from JSON."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, cast

from ..money import pence_format
from ..reading import Reading, Where
from ..weights import WEIGHT_MOST, WEIGHT_UNITS, WeightUnit

PLACE_MOST: Final = 100_000


@dataclass(frozen=True, slots=True)
class FramePrize:
    """What one place over all is worth: pence, or a percentage of the pool (exact)."""

    place: int
    amount: int | None = None
    percent: Fraction | None = None

    def pence(self, *, pool: int) -> int:
        """The prize in pence; a percentage of `pool` is rounded down to the penny."""
        if self.percent is not None:
            return int(pool * self.percent / 100)
        return self.amount or 0


@dataclass(frozen=True, slots=True)
class SectionPrizes:
    """What the best of each section gets, in pence.

    `by_default`: who is in the frame passes it to the next in the section.
    """

    amount_each: int
    by_default: bool = False


@dataclass(frozen=True, slots=True)
class PoolEntry:
    """An angler who paid into the pool, with the weight that counts."""

    angler: str
    section: str | None
    weight: int


@dataclass(frozen=True, slots=True)
class PayoutsRequest:
    """A pool in pence, its prizes, and the weights that win them."""

    pool: int
    entries: tuple[PoolEntry, ...]
    frame: tuple[FramePrize, ...] = ()
    sections: SectionPrizes | None = None
    currency: str = "GBP"
    weight_unit: WeightUnit = "g"

    @property
    def prizes(self) -> int:
        """All that could be won: the frame, and a prize for each section entered."""
        frame = sum(prize.pence(pool=self.pool) for prize in self.frame)
        entered = {entry.section for entry in self.entries if entry.section is not None}
        return frame + (self.sections.amount_each * len(entered) if self.sections else 0)


def payouts_parse(raw: object) -> PayoutsRequest:
    """Read a request as described in the API.

    Raises BadInput with every fault and its pointer; prizes above the pool are one, at /pool.
    """
    reading = Reading()
    body = reading.read_object(
        raw,
        (),
        needs=("pool", "entries"),
        may=("currency", "weight_unit", "frame", "sections"),
    )
    unit = cast(
        WeightUnit,
        reading.read_word(body.get("weight_unit", "g"), ("weight_unit",), words=WEIGHT_UNITS),
    )
    sections = _sections_read(reading, body.get("sections"))
    entries = _entries_read(
        reading, body.get("entries", []), unit=unit, in_sections=sections is not None
    )
    request = PayoutsRequest(
        pool=reading.read_money(body["pool"], ("pool",)) if "pool" in body else 0,
        entries=tuple(entries),
        frame=tuple(_frame_read(reading, body.get("frame", []))),
        sections=sections,
        currency=reading.read_currency(body.get("currency", "GBP"), ("currency",)),
        weight_unit=unit,
    )
    _repeats_note(reading, request)
    reading.finish()
    if request.prizes > request.pool:
        reading.fault(
            ("pool",),
            f"The prizes come to {pence_format(request.prizes)}, more than the pool: lower them.",
        )
    reading.finish()
    return request


def _frame_read(reading: Reading, raw: object) -> Iterator[FramePrize]:
    at: Where = ("frame",)
    items = reading.read_list(raw, at)
    places = [item.get("place") if isinstance(item, dict) else None for item in items]
    reading.note_repeats(
        ((p, (*at, i, "place")) for i, p in enumerate(places) if type(p) is int),
        message="This place has a prize already: give each place one.",
    )
    for i, item in enumerate(items):
        where = (*at, i)
        body = reading.read_object(item, where, needs=("place",), may=("amount", "percent"))
        amount, percent = body.get("amount"), body.get("percent")
        if isinstance(item, dict) and (amount is None) == (percent is None):
            reading.fault(where, "Give an amount or a percent, one of the two.")
        place = body.get("place", 1)
        yield FramePrize(
            place=reading.read_whole(place, (*where, "place"), least=1, most=PLACE_MOST),
            amount=None if amount is None else reading.read_money(amount, (*where, "amount")),
            percent=None
            if percent is None
            else reading.read_decimal(percent, (*where, "percent"), most=100),
        )


def _sections_read(reading: Reading, raw: object) -> SectionPrizes | None:
    if raw is None:
        return None
    at: Where = ("sections",)
    body = reading.read_object(raw, at, needs=("amount_each",), may=("by_default",))
    return SectionPrizes(
        amount_each=reading.read_money(body["amount_each"], (*at, "amount_each"))
        if "amount_each" in body
        else 0,
        by_default=reading.read_flag(body.get("by_default", False), (*at, "by_default")),
    )


def _entries_read(
    reading: Reading, raw: object, *, unit: WeightUnit, in_sections: bool
) -> Iterator[PoolEntry]:
    at: Where = ("entries",)
    for i, item in enumerate(reading.read_list(raw, at)):
        where = (*at, i)
        body = reading.read_object(item, where, needs=("angler", "weight"), may=("section",))
        section = body.get("section")
        if in_sections and section is None and isinstance(item, dict):
            reading.fault((*where, "section"), "Sections have prizes: say whose section this is.")
        yield PoolEntry(
            angler=reading.read_id(body["angler"], (*where, "angler")) if "angler" in body else "",
            section=None if section is None else reading.read_id(section, (*where, "section")),
            weight=reading.read_whole(
                body["weight"], (*where, "weight"), least=0, most=WEIGHT_MOST[unit]
            )
            if "weight" in body
            else 0,
        )


def _repeats_note(reading: Reading, request: PayoutsRequest) -> None:
    reading.note_repeats(
        ((e.angler, ("entries", i, "angler")) for i, e in enumerate(request.entries)),
        message="This angler is entered already: enter each once.",
    )
