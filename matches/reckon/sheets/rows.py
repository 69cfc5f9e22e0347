"""The rows of a sheet under the columns that were chosen for them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from matches.reckon.cells import guard_off
from matches.reckon.reading import Reading, Where, is_storable

from .columns import column_letter
from .sheet import Sheet


@dataclass(frozen=True, slots=True)
class MappedRow:
    """One row: `texts` by the name of a column, of those the file has; `where` each stands."""

    number: int
    texts: Mapping[str, str]
    where: Mapping[str, Where]

    def text(self, name: str) -> str:
        """What stands in that column; nothing where the file has none."""
        return self.texts.get(name, "")

    def at(self, name: str) -> Where:
        """Where that column is, for a fault; the row where the file has none."""
        return self.where.get(name, (self.number, name))


def rows_mapped(sheet: Sheet, columns: Mapping[str, int], *, reading: Reading) -> list[MappedRow]:
    """Every row of the file; what cannot be stored anywhere is noted as a fault. `columns` says at
    which place, from 0, each column stands; a place the file has not is left out."""
    names = {name: at for name, at in columns.items() if 0 <= at < len(sheet.heads)}
    said = {name: sheet.heads[at] or column_letter(at + 1) for name, at in names.items()}
    rows = []
    for row in sheet.rows:
        texts: dict[str, str] = {}
        for name, at in names.items():
            text = row.cells[at] if at < len(row.cells) else ""
            if not is_storable(text):
                reading.fault(
                    (row.number, said[name]), "A character here cannot be stored: write it anew."
                )
                text = ""
            texts[name] = guard_off(text)
        rows.append(MappedRow(row.number, texts, {n: (row.number, said[n]) for n in names}))
    return rows
