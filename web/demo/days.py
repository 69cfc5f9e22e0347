"""What members noted on their phones at the match that is over: feed, lines, and each fish."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from matches.models import DrawnPeg, Match, Person

from .weighing import Phone, peg_weights

# Bait, amount, unit, line, the plan's stage, and the minutes it went in.
Feeds = Sequence[tuple[str, str, str, str, int, Sequence[int]]]
# Line, species, size, how heavy one is beside the others, and the minutes that brought one.
Catch = Sequence[tuple[str, str, str, int, Sequence[int]]]


@dataclass(frozen=True, slots=True)
class Day:
    """One member's day: what went in, which line from which minute, and the fish, which are so many
    percent of what the scales will say."""

    feeds: Feeds
    switches: Sequence[tuple[str, int]]
    catch: Catch
    percent: int = 100


# Slow on the long line; over to the short one, fed from before, and it goes three times as fast.
_LONG: Final = (14, 29, 52, 66, 93, 118, 139, 151, 183)
_SHORT: Final = (
    *(203, 206, 212, 213, 219, 223, 228, 231, 234, 241, 244),
    *(249, 251, 258, 262, 267, 270, 275, 281, 284, 290, 294),
)
MAUD: Final = Day(
    feeds=(
        ("hemp", "1", "pint", "long", 0, (0,)),
        ("pinkie", "0.5", "pint", "long", 0, (0,)),
        ("caster", "0.125", "pint", "long", 1, (8, 24, 45, 62, 80, 98, 110, 128)),
        ("caster", "0.05", "pint", "short", 3, (181, 200, 215, 238, 262)),
    ),
    switches=(("short", 196),),
    catch=(("long", "Roach", "good", 150, _LONG), ("short", "Roach", "middling", 60, _SHORT)),
)
# Went short early, and put the phone away when the rain came.
WILMOT: Final = Day(
    feeds=(
        ("hemp", "0.5", "pint", "long", 0, (0,)),
        ("caster", "0.1", "pint", "long", 1, (10, 31, 55)),
        ("maggot", "0.1", "pint", "short", 3, (70, 90, 111, 130)),
    ),
    switches=(("short", 84),),
    catch=(
        ("long", "Roach", "middling", 60, (22, 48, 71)),
        ("short", "Dace", "middling", 45, (90, 93, 97, 104, 108, 117, 121, 125, 133, 137)),
    ),
    percent=40,
)
# Their days of the rounds before, in the order of these.
_EVENLY: Final = (20, 61, 95, 140, 177, 214, 252, 290)
EARLIER_DAYS: Final = (
    {
        "maud": Day(
            feeds=(
                ("hemp", "0.75", "pint", "long", 0, (0,)),
                ("caster", "0.1", "pint", "long", 1, (9, 31, 58, 90, 120, 149)),
                ("caster", "0.05", "pint", "short", 3, (188, 214, 240, 268)),
            ),
            switches=(("short", 201),),
            catch=(
                ("long", "Roach", "middling", 60, _EVENLY[:5]),
                ("short", "Dace", "middling", 45, _EVENLY[5:]),
            ),
        ),
        "wilmot": Day(
            feeds=(
                ("hemp", "0.5", "pint", "long", 0, (0,)),
                ("maggot", "0.15", "pint", "long", 1, (12, 70, 125, 190, 250)),
            ),
            switches=(),
            catch=(("long", "Roach", "middling", 60, _EVENLY),),
        ),
    },
    {
        "maud": Day(
            feeds=(
                ("hemp", "1.25", "pint", "long", 0, (0,)),
                ("caster", "0.15", "pint", "long", 1, (11, 40, 69, 101, 150, 205, 249)),
            ),
            switches=(),
            catch=(("long", "Roach", "good", 150, _EVENLY),),
        ),
        "wilmot": WILMOT,
    },
)


def day_log(person: Person, *, match: Match, day: Day) -> None:
    """Note it all on the person's phone, in the order it happened, and send it."""
    phone = Phone(person, match=match)
    peg = (
        DrawnPeg.objects.select_related("section_peg__peg")
        .get(match=match, entry__angler__person=person)
        .section_peg.peg.number
    )
    caught = peg_weights(match)[peg] * day.percent // 100
    for minute, kind, body in sorted(_notes(day, caught=caught), key=lambda note: note[0]):
        phone.log(kind, peg=peg, body=body, at=match.start_at + dt.timedelta(minutes=minute))
    phone.send()


def _notes(day: Day, *, caught: int) -> Iterable[tuple[int, str, dict[str, Any]]]:
    for bait, amount, unit, line, stage, minutes in day.feeds:
        fed = {"bait": bait, "amount": amount, "unit": unit, "line": line, "stage": stage}
        yield from ((minute, "feed_note", fed) for minute in minutes)
    yield from ((minute, "line_note", {"line": line}) for line, minute in day.switches)
    parts = sum(part * len(minutes) for _l, _species, _size, part, minutes in day.catch)
    for line, species, size, part, minutes in day.catch:
        about = caught * part // parts
        fish = {"species": species, "count": 1, "size": size, "about": about, "line": line}
        yield from ((minute, "fish_note", fish) for minute in minutes)
