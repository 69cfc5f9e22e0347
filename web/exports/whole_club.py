"""All of a club: a table a file, what was published as it was, and what every column means."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Final

from bait.reads.club_tables import TABLES as BAIT_TABLES
from matches.models import Bulletin, Club, LeagueTable
from matches.reads.club_tables import TABLES as MATCH_TABLES
from matches.reckon.canonical import canonical_json

from .archive import csv_parts

#: Raised when a file or a column changes its meaning; a column more at the end does not raise it.
FORM: Final = 1
TABLES: Final = (*MATCH_TABLES, *BAIT_TABLES)
JSON_FILES: Final = (
    (
        "bulletins/<match>-<number>.json",
        "Each bulletin as the board shows it; its SHA-256 is the digest shown there.",
    ),
    (
        "leagues/<league>-<number>.json",
        "Each table of a league in the same way.",
    ),
)


def club_files(club: Club, *, made_at: datetime) -> Iterator[tuple[str, Iterator[bytes]]]:
    """Every file of the archive. Check first that the person runs the club."""
    yield "README.txt", iter([readme(club, made_at=made_at).encode()])
    for table in TABLES:
        yield table.file, csv_parts([name for name, _m in table.columns], table.rows(club))
    bulletins = Bulletin.objects.filter(match__club=club).order_by("match_id", "number")
    for slug, number, body in bulletins.values_list("match__slug", "number", "body").iterator(20):
        yield f"bulletins/{slug}-{number}.json", iter([canonical_json(body)])
    tables = LeagueTable.objects.filter(league__club=club).order_by("league_id", "number")
    for slug, number, body in tables.values_list("league__slug", "number", "body").iterator(20):
        yield f"leagues/{slug}-{number}.json", iter([canonical_json(body)])


def readme(club: Club, *, made_at: datetime) -> str:
    """What is in the archive, file by file and column by column."""
    lines = [
        f"All of {club.name}, as it stood at {made_at.isoformat(timespec='minutes')}.",
        f"Form {FORM}. The form's number is raised when a file or column changes its meaning.",
        "",
        "CSV files are UTF-8 with a mark, commas between cells, as in RFC 4180. A quote stands",
        "before what a spreadsheet would run as a formula. Money is in " + club.currency + ".",
        "Moments are UTC (ISO 8601). Empty is not known, or not said.",
        "",
        "Members' own notes (feed, fish, pegs, plans) are not in here: they are theirs, and each",
        "member downloads them at the desk. Rows are read while the club works: a row that came",
        "in meanwhile may be in one file and not yet in another.",
    ]
    for table in TABLES:
        lines += ["", table.file, f"  {table.about}"]
        lines += [
            f"  {name}: {meaning}" if meaning else f"  {name}" for name, meaning in table.columns
        ]
    for name, about in JSON_FILES:
        lines += ["", name, f"  {about}"]
    return "\n".join(lines) + "\n"
