"""A shop's prices from a file of any columns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bait.models import Shop
from bait.reads.price_lists import LineCompared, price_list_compare
from bait.reads.shops import baits_listed, baits_of
from bait.reckon.price_columns import PRICE_COLUMNS, halves_missing, price_lines
from bait.reckon.price_rows import PackPrices
from bait.writes.price_lists import price_list_import
from matches.models import Person
from matches.reckon.money import pence_format
from matches.reckon.reading import Reading
from matches.reckon.sheets import MappedRow

from .look import Look, RowSeen, rows_seen, rows_sorted

WORDS = {column.name: column.words for column in PRICE_COLUMNS}


def look(shop: Shop, rows: Sequence[MappedRow], reading: Reading) -> Look:
    """The list's packs beside the shop's."""
    baits = baits_of(shop.club)
    missing = halves_missing(list(rows[0].texts) if rows else [])
    if missing:
        said = _("Say which column is: %s.") % ", ".join(missing)
        return Look((), (), faults=(said,))
    read = price_lines(reading, rows, baits=baits_listed(baits))
    lines = tuple(line for line in read if line is not None)
    compared = price_list_compare(shop, lines=lines)
    names = {bait.key: bait.name for bait in baits}
    told = {
        one.line.row: _row(one, what, name=names[one.line.bait])
        for what, one in rows_sorted(compared)
    }
    notes = []
    if compared.gone:
        said = ngettext(
            "%(n)d pack of the shop is not in the file and stays as it is.",
            "%(n)d packs of the shop are not in the file and stay as they are.",
            len(compared.gone),
        )
        notes.append(said % {"n": len(compared.gone)})
    return Look(rows_seen(rows, told, reading=reading, name="bait"), lines, tuple(notes))


def write(person: Person, shop: Shop, seen: Look) -> Mapping[str, int]:
    """The list's packs into the shop."""
    done = price_list_import(person, shop=shop, lines=seen.lines)
    return {"new": done.new, "changed": done.changed, "back": done.back}


def _row(one: LineCompared, what: str, *, name: str) -> RowSeen:
    before, after = (_said(prices) if prices else {} for prices in (one.before, one.line.prices))
    differs = tuple(
        (WORDS[key], before.get(key, ""), after.get(key, ""))
        for key in WORDS
        if before.get(key, "") != after.get(key, "")
    )
    pack = f"{name} {one.line.amount_text} {one.line.unit}"
    return RowSeen(one.line.row, what, pack, differs)


def _said(prices: PackPrices) -> dict[str, str]:
    said = {"price": pence_format(prices.price)}
    for n, (from_packs, pence) in enumerate(prices.breaks[:2]):
        end = "" if n == 0 else "_2"
        said |= {f"from_packs{end}": str(from_packs), f"break_price{end}": pence_format(pence)}
    return said | ({"max_packs": str(prices.max_packs)} if prices.max_packs is not None else {})
