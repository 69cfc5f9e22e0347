"""A shop's price list under columns of any name, read as `bait.reckon.price_list` reads it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from matches.reckon.reading import Reading
from matches.reckon.sheets import Column, MappedRow

from .price_heads import BREAK
from .price_list import price_lines_read
from .price_rows import ListedBait, ListLine

SECOND: Final = tuple(f"{name}_2" for name in BREAK)
PRICE_COLUMNS: Final = (
    Column("bait", "Bait", ("product", "item", "description", "article"), needed=True),
    Column("amount", "Amount in a pack", ("pack", "size", "pack size", "quantity", "qty"),
           needed=True),
    Column("unit", "Unit", ("measure", "unit of measure", "uom")),
    Column("price", "Price", ("cost", "each", "price per pack", "our price", "rrp"), needed=True),
    Column("from_packs", "From so many packs", ("from", "min packs", "break", "break from")),
    Column("break_price", "Price from so many on", ("price then", "bulk price", "discount price")),
    Column("from_packs_2", "From so many packs, second break", ("from 2", "break 2")),
    Column("break_price_2", "Price at the second break", ("bulk price 2",)),
    Column("max_packs", "Packs to be had at most", ("most", "max", "stock", "in stock")),
)  # fmt: skip
#: A sign or code of money before or after the digits.
_MONEY: Final = re.compile(r"^\s*(?:[£€$]|[A-Z]{3})\s*|\s*(?:[£€$]|[A-Z]{3})\s*$")
_BOTH: Final = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*([^\W\d_]+)")
_MONEYS: Final = ("price", "break_price", "break_price_2")


def price_lines(
    reading: Reading, rows: Sequence[MappedRow], *, baits: Sequence[ListedBait]
) -> list[ListLine | None]:
    """Each row's pack; None where anything of it is wrong, which is noted. Where no column is the
    unit it stands behind the amount, as in "2 kg"."""
    if not rows:
        return []
    names = list(rows[0].texts)
    heads = {name: str(rows[0].where[name][1]) for name in names}
    if "unit" not in heads:
        heads["unit"] = heads["amount"]
    cells = [(row.number, [_cell(row, name) for name in heads]) for row in rows]
    return price_lines_read(reading, heads, cells, baits=baits)


def _cell(row: MappedRow, name: str) -> str:
    text = row.text(name)
    if name in _MONEYS:
        return _MONEY.sub("", text)
    if "unit" not in row.texts and name in ("amount", "unit"):
        both = _BOTH.fullmatch(row.text("amount").strip())
        return both[1 if name == "amount" else 2] if both else row.text(name)
    return text


def halves_missing(columns: Sequence[str]) -> list[str]:
    """The words of each column of a break whose other half is there and it is not."""
    words = {column.name: column.words for column in PRICE_COLUMNS}
    return [
        words[name]
        for pair in (BREAK, SECOND)
        for name, other in (pair, pair[::-1])
        if other in columns and name not in columns
    ]
