"""Results of before from a club's book: one row an angler in a match."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from matches.reckon.decimals import decimal_read
from matches.reckon.peg_fields import NUMBER_LONGEST
from matches.reckon.peg_ranges import LABEL_LONGEST
from matches.reckon.reading import Reading
from matches.reckon.weights import WeightUnit

from .anglers import NAME_MOST
from .columns import Column
from .rows import MappedRow
from .values import day_read, name_plain, point_put, whole_read
from .weights_typed import NOT_WEIGHED, weight_typed

PLACE_MOST: Final = 1_000
POINTS_MOST: Final = 10_000
RESULT_COLUMNS: Final = (
    Column("date", "Date", ("day", "match date", "fished on"), needed=True),
    Column("venue", "Venue", ("water", "fishery", "river", "lake", "where"), needed=True),
    Column("match", "Match", ("match name", "event", "competition")),
    Column("angler", "Angler", ("name", "competitor", "full name", "who"), needed=True),
    Column("number", "Membership number", ("member no", "member number", "membership no")),
    Column("peg", "Peg", ("peg no", "peg number", "swim")),
    Column("section", "Section", ("sec", "zone")),
    Column("weight", "Weight, with its units", ("weight", "total weight", "catch", "bag")),
    Column("weight_kg", "Weight in kg", ("kg", "kilos", "kilograms")),
    Column("weight_g", "Weight in g", ("g", "grams")),
    Column("place", "Place in the section", ("place", "position", "pos", "rank", "section place")),
    Column("points", "Points", ("pts", "section points")),
)


@dataclass(frozen=True, slots=True)
class ResultLine:
    """One result as written; None is not said. `weight` in `unit`; a weight of nothing has none."""

    row: int
    date: dt.date
    venue: str
    match: str
    angler: str
    number: str
    peg: str
    section: str
    weight: int | None
    unit: WeightUnit | None
    place: int | None
    points: Decimal | None


def result_lines(
    reading: Reading, rows: Sequence[MappedRow], *, today: dt.date
) -> list[ResultLine | None]:
    """Each row's result; None where anything of it is wrong, which is noted."""
    return [_line(reading, row, today=today) for row in rows]


def _line(reading: Reading, row: MappedRow, *, today: dt.date) -> ResultLine | None:
    before = len(reading.faults)
    date = day_read(row.text("date"))
    if date is None:
        reading.fault(row.at("date"), "Write the day, such as 2024-06-08 or 8/6/2024.")
    elif date >= today:
        reading.fault(row.at("date"), "This day is not over: only results of before are read.")
    venue = _words(reading, row, "venue", most=NAME_MOST, needed=True)
    weight, unit = _weight(reading, row)
    line = ResultLine(
        row=row.number,
        date=date or today,
        venue=venue,
        match=_words(reading, row, "match", most=NAME_MOST),
        angler=_words(reading, row, "angler", most=NAME_MOST, needed=True),
        number=_words(reading, row, "number", most=16),
        peg=_words(reading, row, "peg", most=NUMBER_LONGEST),
        section=_words(reading, row, "section", most=LABEL_LONGEST),
        weight=weight,
        unit=unit,
        place=_place(reading, row),
        points=_points(reading, row),
    )
    return line if len(reading.faults) == before else None


def _words(reading: Reading, row: MappedRow, name: str, *, most: int, needed: bool = False) -> str:
    text = name_plain(row.text(name))
    if len(text) > most or (needed and not text):
        reading.fault(row.at(name), f"Write this in 1 to {most} characters.")
    return text


def _weight(reading: Reading, row: MappedRow) -> tuple[int | None, WeightUnit | None]:
    """From whichever of the columns of weight holds something."""
    for name, unit in (("weight", ""), ("weight_kg", " kg"), ("weight_g", " g")):
        text = row.text(name)
        if text.casefold() in NOT_WEIGHED:
            continue
        read = weight_typed(text + unit)
        if read is None:
            reading.fault(
                row.at(name),
                "Write the weight such as 12.450 kg, 850 g, 27 lb 6 oz 8 dr or 27-6-8."
                if not unit
                else f"Write a number of{unit} alone.",
            )
            return None, None
        return (read[0], read[1] if read[0] else None)
    return None, None


def _place(reading: Reading, row: MappedRow) -> int | None:
    text = row.text("place")
    if text.casefold() in NOT_WEIGHED:
        return None
    place = whole_read(text, least=1, most=PLACE_MOST)
    if place is None:
        reading.fault(row.at("place"), f"Write a place from 1 to {PLACE_MOST:,}, or nothing.")
    return place


def _points(reading: Reading, row: MappedRow) -> Decimal | None:
    text = point_put(row.text("points"))
    if text.casefold() in NOT_WEIGHED:
        return None
    points = decimal_read(text)
    if points is None or points > POINTS_MOST or (points * 100).denominator != 1:
        reading.fault(row.at("points"), "Write points such as 3 or 2.5, or nothing.")
        return None
    return Decimal(text)
