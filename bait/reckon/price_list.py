"""A shop's price list as a file of cells (CSV), read strictly: every fault with row and column.

One row is one pack: bait, amount, unit and price; from so many packs on every pack of the line
costs less (from_packs with break_price, then from_packs_2 with break_price_2 and so on); at most
max_packs are to be had. Columns may stand in any order, and columns but the first four be left
out. Faults point at "/row/column": the row as a spreadsheet counts, the column by its name.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from matches.reckon.cells import MOST_ROWS, cell_rows, cells_separator
from matches.reckon.errors import BadInput, Fault
from matches.reckon.reading import Reading

from .price_heads import Columns, break_pairs, columns_read
from .price_rows import ListedBait, ListLine, RowReader


def price_list_parse(text: str, *, baits: Sequence[ListedBait]) -> tuple[ListLine, ...]:
    """The packs of a list. Raises BadInput with every fault; then nothing of it is to be used."""
    reading = Reading()
    separator = cells_separator(text)
    rows = cell_rows(reading, text, separator=separator)
    reading.finish()
    if not rows:
        raise BadInput(Fault("", "The file is empty: choose the one with the prices."))
    head, *rest = rows
    columns = columns_read(reading, *head)
    reading.finish()
    if not rest:
        raise BadInput(Fault("/2", "Below the names of the columns there is no pack."))
    if len(rest) > MOST_ROWS:
        raise BadInput(Fault("", f"The list has more than {MOST_ROWS} rows: send it in parts."))
    lines = RowReader(reading, columns=columns, baits=baits, comma=separator == ";")
    found = [lines.line(row, cells) for row, cells in rest]
    _repeats_note(reading, found)
    reading.finish()
    return tuple(line for line in found if line is not None)


def price_lines_read(
    reading: Reading,
    heads: Mapping[str, str],
    rows: Iterable[tuple[int, Sequence[str]]],
    *,
    baits: Sequence[ListedBait],
) -> list[ListLine | None]:
    """The packs of rows that stand under known columns; None where anything of one is wrong, which
    is noted. `heads` are the columns in the order of the cells, and what a fault calls each;
    decimals may have a comma."""
    columns = Columns(
        at={name: n for n, name in enumerate(heads)},
        names=tuple(heads.values()),
        breaks=tuple(pair for pair in break_pairs() if set(pair) <= set(heads)),
    )
    lines = RowReader(reading, columns=columns, baits=baits, comma=True)
    found = [lines.line(row, list(cells)) for row, cells in rows]
    _repeats_note(reading, found)
    return found


def pack_read(fields: Mapping[str, str], *, baits: Sequence[ListedBait]) -> ListLine:
    """One pack from a form whose fields are called as the columns, by the same rules.

    Decimals may have a comma. Raises BadInput; its faults point at "/field".
    """
    reading = Reading()
    cells = [text.strip() for text in fields.values()]
    (line,) = price_lines_read(reading, {n: n for n in fields}, [(0, cells)], baits=baits)
    if line is None:
        raise BadInput(*(Fault(f.pointer.removeprefix("/0"), f.message) for f in reading.faults))
    return line


def _repeats_note(reading: Reading, lines: Sequence[ListLine | None]) -> None:
    first: dict[tuple[str, Fraction, str], int] = {}
    for line in lines:
        if line is None:
            continue
        row = first.setdefault(line.pack, line.row)
        if row != line.row:
            reading.fault(
                (line.row, "amount"), f"This pack is in row {row} already: leave one of them out."
            )
