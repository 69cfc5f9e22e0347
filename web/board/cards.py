"""A result as one picture for sharing, drawn by us: only shapes, and letters every device has."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, Final

from django.utils.translation import gettext as _

from matches.models import Bulletin
from web.measures_said import numeral, weight_said

from .message import first_of, place_line, said_of, status_line

ROWS_MOST: Final = 3
WIDEST: Final = "MWmw@%…—&"
NARROW: Final = "ijltfrI.,:;'|()[] ·1"


@dataclass(frozen=True, slots=True)
class Shape:
    """Where things are on a card: `columns` of individuals and teams side by side, or stacked."""

    name: str
    width: int
    height: int
    columns: int


@dataclass(frozen=True, slots=True)
class Line:
    """One line of text: where its foot is, how high, and what it says."""

    x: int
    y: int
    size: int
    text: str
    kind: str = "plain"


# 1200 by 630 is what most places show beside a link (common practice, no source).
WIDE: Final = Shape("wide", 1200, 630, 2)
SQUARE: Final = Shape("square", 1080, 1080, 1)
SHAPES: Final = {shape.name: shape for shape in (WIDE, SQUARE)}
EDGE: Final = 60
#: What no XML document may hold (XML 1.0, section 2.2): one such letter and there is no picture.
NO_XML: Final = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def card(bulletin: Bulletin, *, shape: Shape) -> dict[str, Any]:
    """The card's lines for the template, and in words what is to be seen on it."""
    body = bulletin.body
    inside = shape.width - 2 * EDGE
    head = [
        Line(EDGE, 104, 54, shortened(body["match"]["name"], wide=inside, size=54), "title"),
        Line(EDGE, 150, 28, shortened(f"{body['match']['club']} · {place_line(body)}", inside, 28)),
        Line(EDGE, 190, 26, shortened(status_line(bulletin), wide=inside, size=26), "soft"),
    ]
    lists = [(_("Over all sections"), _individuals(body)), (_("Teams"), _teams(body))]
    lists = [(title, rows) for title, rows in lists if rows]
    wide = inside // shape.columns - 20 * (shape.columns - 1)
    lines = [*head]
    for n, (title, rows) in enumerate(lists):
        column, row = n % shape.columns, n // shape.columns
        x = EDGE + column * (wide + 40)
        lines += _list(title, rows, x=x, y=252 + row * 300, wide=wide)
    if (biggest := body["biggest"]) is not None:
        weight = weight_said(biggest["weight"], body["weight_unit"])
        said = _("Biggest weight: %(who)s, %(weight)s")
        words = said % {"who": biggest["angler"], "weight": weight}
        lines.append(
            Line(EDGE, shape.height - 66, 32, shortened(words, wide=inside, size=32), "biggest")
        )
    return {
        "shape": shape,
        "lines": lines,
        "said": "; ".join(line.text for line in lines),
        "water": shape.height - 112,
        "waves": range(shape.width // 60),
    }


def shortened(text: str, wide: int, size: int) -> str:
    """The text, cut with three dots where it would be wider than that many pixels."""
    text = NO_XML.sub("", text)
    most = wide * 100 // size
    if _width(text) <= most:
        return text
    while text and _width(text) + _width("…") > most:
        text = text[:-1]
    return text.rstrip() + "…"


def _width(text: str) -> int:
    """How wide the text is at most, in hundredths of its height: bold sans-serif letters of what
    devices have (measured in a browser, no source)."""
    return sum(_letter(letter) for letter in text)


def _letter(letter: str) -> int:
    if letter in WIDEST or ord(letter) > 0x2E7F:  # signs of the East are square
        return 105
    if letter in NARROW:
        return 45
    return 78 if letter.isupper() else 66


def _list(title: str, rows: list[tuple[str, str]], *, x: int, y: int, wide: int) -> list[Line]:
    lines = [Line(x, y, 26, shortened(title, wide=wide, size=26), "soft")]
    for n, (who, said) in enumerate(rows):
        foot = y + 50 + n * 74
        lines.append(Line(x, foot, 34, shortened(who, wide=wide, size=34), "strong"))
        lines.append(Line(x, foot + 32, 26, shortened(said, wide=wide, size=26)))
    return lines


def _individuals(body: dict[str, Any]) -> list[tuple[str, str]]:
    return [
        (f"{i['rank']}  {i['angler']}", " · ".join(filter(None, [said_of(i, body), i["team"]])))
        for i in first_of(body["individuals"])[:ROWS_MOST]
    ]


def _teams(body: dict[str, Any]) -> list[tuple[str, str]]:
    unit = body["weight_unit"]
    return [
        (
            f"{t['rank']}  {t['team']}",
            _("%(points)s points, %(weight)s")
            % {"points": numeral(str(t["points"])), "weight": weight_said(t["weight"], unit)},
        )
        for t in first_of(body["teams"])[:ROWS_MOST]
    ]
