"""One row of a price list, read strictly: the pack it is, or each fault with row and column."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from bait.reckon.order.parse import MOST_COUNT, MOST_PRICE
from bait.reckon.units import COUNT, MOST_AMOUNT, UNITS, amount_format, amount_read, unit_sort
from matches.reckon.cells import guard_off
from matches.reckon.errors import BadInput
from matches.reckon.money import pence_parse
from matches.reckon.reading import Reading

from .price_heads import Columns

SUGGEST_LONGEST: Final = 80
SUGGEST_MOST: Final = 50
WORDS_OF_UNITS: Final = {"pints": "pint", "litre": "L", "litres": "L", "pcs": "each"}


@dataclass(frozen=True, slots=True)
class ListedBait:
    """A bait the list may name, by its name or its key."""

    key: str
    name: str
    unit: str
    has_density: bool


@dataclass(frozen=True, slots=True)
class PackPrices:
    """What a pack costs, in pence: one, and each from so many packs on; None is no limit."""

    price: int
    breaks: tuple[tuple[int, int], ...] = ()
    max_packs: int | None = None


@dataclass(frozen=True, slots=True)
class ListLine:
    """One pack of the list; `bait` is the bait's key."""

    row: int
    bait: str
    amount: Fraction
    unit: str
    prices: PackPrices

    @property
    def pack(self) -> tuple[str, Fraction, str]:
        """What makes it that pack and no other."""
        return (self.bait, self.amount, self.unit)

    @property
    def amount_text(self) -> str:
        """The amount as its shortest decimal."""
        return amount_format(self.amount)


class RowReader:
    """Reads row after row, noting what is wrong; `comma` is whether a comma may part decimals."""

    def __init__(
        self, reading: Reading, *, columns: Columns, baits: Sequence[ListedBait], comma: bool
    ) -> None:
        self.reading = reading
        self.columns = columns
        self.comma = comma
        self.names: dict[str, list[ListedBait]] = {}
        for bait in baits:
            for name in {_plain(bait.name), _plain(bait.key)}:
                self.names.setdefault(name, []).append(bait)

    def line(self, row: int, cells: list[str]) -> ListLine | None:
        """The row's pack; None where anything of it is wrong."""
        before = len(self.reading.faults)
        for n in range(len(self.columns.names), len(cells)):
            if cells[n]:
                self.reading.fault((row, n + 1), "This cell has no column: take it out.")
        values = {name: cells[n] if n < len(cells) else "" for name, n in self.columns.at.items()}
        where = {name: (row, self.columns.names[n]) for name, n in self.columns.at.items()}
        bait = self._bait(values["bait"], where["bait"])
        amount = self._amount(values["amount"], where["amount"])
        unit = self._unit(values["unit"], where["unit"], bait=bait)
        prices = self._prices(values, where)
        if bait is None or len(self.reading.faults) > before:
            return None
        return ListLine(row=row, bait=bait.key, amount=amount, unit=unit, prices=prices)

    def _bait(self, text: str, where: tuple[int, str]) -> ListedBait | None:
        if not text:
            self.reading.fault(where, "Say which bait this is.")
            return None
        found = self.names.get(_plain(text)) or self.names.get(_plain(guard_off(text)), [])
        if len(found) > 1:
            found = [bait for bait in found if bait.key == text] or found
        if len(found) > 1:
            keys = ", ".join(bait.key for bait in found)
            self.reading.fault(where, f"More than one bait is called that: use one of {keys}.")
        elif not found:
            self.reading.fault(where, f"The club has no bait of this name. {self._near(text)}")
        return found[0] if len(found) == 1 else None

    def _near(self, text: str) -> str:
        near = (
            difflib.get_close_matches(_plain(text), self.names, n=1)
            if len(text) <= SUGGEST_LONGEST and len(self.reading.faults) < SUGGEST_MOST
            else []
        )
        if near:
            return f"Is it “{self.names[near[0]][0].name}”?"
        return "Add it to the club’s baits first, or mend the name."

    def _amount(self, text: str, where: tuple[int, str]) -> Fraction:
        value = amount_read(self._point(text), zero=False)
        if value is None:
            self.reading.fault(
                where,
                f"Write how much is in one pack, such as 0.5: above zero, up to {MOST_AMOUNT}, "
                f"at most four places.{self._comma_hint(text)}",
            )
        return value or Fraction(1)

    def _unit(self, text: str, where: tuple[int, str], *, bait: ListedBait | None) -> str:
        plain = _plain(text)
        unit = WORDS_OF_UNITS.get(plain) or next((u for u in UNITS if u.casefold() == plain), "")
        if not unit:
            self.reading.fault(where, f"Use one of: {', '.join(UNITS)}.")
            return "L"
        if bait is not None and not unit_fits(unit, bait=bait):
            self.reading.fault(
                where,
                f"“{unit}” cannot be counted in “{bait.unit}”, the unit of {bait.name}: use a "
                "unit of that sort, or say on the baits’ page what a litre of it weighs.",
            )
        return unit

    def _prices(
        self, values: Mapping[str, str], where: Mapping[str, tuple[int, str]]
    ) -> PackPrices:
        price = self._money(values["price"], where["price"])
        breaks: list[tuple[int, int]] = []
        for from_name, price_name in self.columns.breaks:
            from_text, price_text = values[from_name], values[price_name]
            if not from_text and not price_text:
                continue
            from_packs = self._count(from_text, where[from_name], least=2)
            cheaper = self._money(price_text, where[price_name])
            if from_packs is None or cheaper is None or price is None:
                continue
            last = breaks[-1] if breaks else (1, price)
            if from_packs <= last[0]:
                self.reading.fault(
                    where[from_name], "Give the breaks in order, each from more packs than before."
                )
            if cheaper > last[1]:
                self.reading.fault(
                    where[price_name], "A break cannot be dearer than what comes before it."
                )
            breaks.append((from_packs, cheaper))
        text = values.get("max_packs", "")
        most = self._count(text, where["max_packs"], least=0) if text else None
        return PackPrices(price=price or 0, breaks=tuple(breaks), max_packs=most)

    def _money(self, text: str, where: tuple[int, str]) -> int | None:
        try:
            pence = pence_parse(self._point(text))
        except BadInput:
            self.reading.fault(
                where,
                "Write the price of one pack such as 4.20, without the currency’s sign."
                + self._comma_hint(text),
            )
            return None
        if pence > MOST_PRICE:
            self.reading.fault(where, f"A pack costs at most {MOST_PRICE // 100}.00 here.")
            return None
        return pence

    def _count(self, text: str, where: tuple[int, str], *, least: int) -> int | None:
        if (
            text.isascii()
            and text.isdigit()
            and len(text) < 10
            and least <= int(text) <= MOST_COUNT
        ):
            return int(text)
        self.reading.fault(where, f"Write a whole number of packs from {least} to {MOST_COUNT}.")
        return None

    def _point(self, text: str) -> str:
        return text.replace(",", ".", 1) if self.comma and "." not in text else text

    def _comma_hint(self, text: str) -> str:
        if self.comma or not re.fullmatch(r"[0-9]+,[0-9]+", text):
            return ""
        return " A decimal comma is read only where semicolons part the columns."


def unit_fits(unit: str, *, bait: ListedBait) -> bool:
    """Whether a pack in that unit can be counted in the unit of the bait."""
    sorts = {unit_sort(unit), unit_sort(bait.unit)}
    return len(sorts) == 1 or (bait.has_density and COUNT not in sorts)


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())
