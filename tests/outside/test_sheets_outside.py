"""Files that pandas writes are read cell by cell as pandas itself reads them back."""

from __future__ import annotations

import io

import pandas
import pytest

from matches.reckon.sheets import sheet_read

FRAME = pandas.DataFrame(
    {
        "Name": ["Zoë Löw", 'Ada "Otter" Reed', "Bo, of the weir", "Two\nlines", "=SUM(A1)"],
        "Peg": [1, 2, 3, 40, 500],
        "Depth": [1.8, 2.25, 0.1, 1e-7, 123456.75],
        "Junior": [True, False, True, False, True],
        "When": pandas.to_datetime(["2024-06-08"] * 5),
    }
)
WRITERS = {
    "csv": lambda out: FRAME.to_csv(out, index=False),
    "semicolons": lambda out: FRAME.to_csv(out, index=False, sep=";", encoding="utf-8-sig"),
    "tabs": lambda out: FRAME.to_csv(out, index=False, sep="\t", quoting=1),
    "windows": lambda out: FRAME.to_csv(out, index=False, encoding="cp1252"),
    "xlsx": lambda out: FRAME.drop(index=4).to_excel(out, index=False),
}


@pytest.mark.parametrize("how", WRITERS)
def test_what_pandas_writes_is_read_as_it_was(how: str) -> None:
    out = io.BytesIO()
    WRITERS[how](out)
    sheet = sheet_read(out.getvalue())
    assert sheet.heads == tuple(FRAME.columns)
    for row, wanted in zip(sheet.rows, FRAME.itertuples(index=False), strict=False):
        name, peg, depth, junior, when = row.cells
        assert (name, int(peg), float(depth)) == (wanted.Name, wanted.Peg, wanted.Depth)
        assert junior.casefold() in (("yes", "true") if wanted.Junior else ("no", "false"))
        assert when == wanted.When.date().isoformat()
    assert len(sheet.rows) == (4 if how == "xlsx" else 5)


def test_a_formula_that_pandas_wrote_has_no_value_and_is_refused() -> None:
    out = io.BytesIO()
    FRAME.to_excel(out, index=False)
    with pytest.raises(ValueError, match="formula without a saved value"):
        sheet_read(out.getvalue())
