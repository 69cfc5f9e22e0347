"""Tables that people keep elsewhere (CSV, XLSX): read as text cells, and their columns matched.

What a file is, its first bytes say (`whole.sheet_read`); every cell comes out as the text that a
person would have typed, so that one reader of values serves both kinds. Nothing of a file is run.
"""

from .columns import Column, column_letter, columns_propose, heads_digest
from .rows import MappedRow, rows_mapped
from .sheet import Sheet, SheetRow
from .whole import sheet_read

__all__ = [
    "Column",
    "MappedRow",
    "Sheet",
    "SheetRow",
    "column_letter",
    "columns_propose",
    "heads_digest",
    "rows_mapped",
    "sheet_read",
]
