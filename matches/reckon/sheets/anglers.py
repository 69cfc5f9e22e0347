"""A roster of anglers: one row each, told apart by membership number or name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from matches.reckon.reading import Reading

from .columns import Column
from .rows import MappedRow
from .values import flag_read, name_plain

NAME_MOST: Final = 120
NUMBER_MOST: Final = 16
ANGLER_COLUMNS: Final = (
    Column("name", "Name", ("angler", "full name", "member", "member name", "entrant", "competitor",
                            "angler name", "who")),
    Column("first_name", "First name", ("forename", "given name", "christian name")),
    Column("surname", "Surname", ("last name", "family name")),
    Column("number", "Membership number", ("no", "member no", "member number", "membership no",
                                           "club number", "card number")),
    Column("team", "Team", ("squad", "team name", "side", "fishes for")),
    Column("junior", "Junior", ("under 18", "youth", "is junior", "jnr", "jun")),
    Column("guardian_consents", "Guardian agreed to the name being shown",
           ("consent", "guardian consent", "parental consent", "name may be shown")),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class AnglerLine:
    """One angler as written. None is not said, which changes nothing of who is in the book."""

    row: int
    name: str
    number: str | None
    team: str | None
    junior: bool | None
    guardian_consents: bool | None


def angler_lines(reading: Reading, rows: Sequence[MappedRow]) -> list[AnglerLine | None]:
    """Each row's angler; None where anything of it is wrong, which is noted."""
    lines = [_line(reading, row) for row in rows]
    for key, words in (("number", "number"), ("name", "name")):
        _repeats_note(reading, rows, lines, key=key, words=words)
    return lines


def _line(reading: Reading, row: MappedRow) -> AnglerLine | None:
    before = len(reading.faults)
    name = row.text("name") or f"{row.text('first_name')} {row.text('surname')}"
    name = name_plain(name)
    at = row.at("name" if "name" in row.texts else "surname")
    if not name or len(name) > NAME_MOST:
        reading.fault(at, f"Write the angler’s name, in at most {NAME_MOST} characters.")
    number = row.text("number")
    if len(number) > NUMBER_MOST:
        reading.fault(row.at("number"), f"Write a number of at most {NUMBER_MOST} characters.")
    team = name_plain(row.text("team"))
    if len(team) > NAME_MOST:
        reading.fault(row.at("team"), f"Write the team in at most {NAME_MOST} characters.")
    line = AnglerLine(
        row.number,
        name,
        number or None,
        team or None,
        _flag(reading, row, "junior"),
        _flag(reading, row, "guardian_consents"),
    )
    return line if len(reading.faults) == before else None


def _flag(reading: Reading, row: MappedRow, name: str) -> bool | None:
    text = row.text(name)
    value = flag_read(text)
    if text and value is None:
        reading.fault(row.at(name), "Write yes or no, or nothing.")
    return value


def _repeats_note(
    reading: Reading,
    rows: Sequence[MappedRow],
    lines: list[AnglerLine | None],
    *,
    key: str,
    words: str,
) -> None:
    first: dict[str, int] = {}
    for n, (row, line) in enumerate(zip(rows, lines, strict=True)):
        text = getattr(line, key) if line else None
        if not text or line is None:
            continue
        seen = first.setdefault(text.casefold(), line.row)
        if seen != line.row:
            reading.fault(
                row.at(key),
                f"This {words} is in row {seen} already: leave one out, or write what tells the "
                "two apart.",
            )
            lines[n] = None
