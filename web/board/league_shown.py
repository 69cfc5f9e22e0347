"""A league's table made ready for the page: rows with a cell a round, changes, and a season."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _

from matches.reads.league_course import season_course
from matches.reckon.weights import WeightUnit, weight_in
from web.league_words import (
    because_words,
    behind_words,
    dropped_words,
    round_state_words,
    rules_words,
)
from web.measures_said import numeral, weight_said
from web.season_charts import Chart, Value, bars, line


def table_shown(body: dict[str, Any], *, hidden: Collection[str]) -> dict[str, Any]:
    """What page and print show of one table; rows of `hidden` ids have no page of their own."""
    units = {str(r["number"]): r["weight_unit"] for r in body["rounds"]}
    rows = [_row_shown(row, units, linked=row["id"] not in hidden) for row in body["table"]]
    return {
        "body": body,
        "rules": rules_words(body["rules"], of=body["league"]["of"]),
        "rounds": [
            {
                **r,
                "day": dt.date.fromisoformat(r["date"]),
                "said": round_state_words(r["state"], confirmed=r["confirmed"]),
            }
            for r in body["rounds"]
        ],
        "counted": [r for r in body["rounds"] if r["state"] == "counted"],
        "rows": rows,
        "left_out": [
            {"who": row["name"], **cell} for row in rows for cell in row["cells"] if cell["dropped"]
        ],
        "because": because_words(body["because"], first=body["number"] == 1),
        "changes": [_change_shown(c) for c in body["changes"]],
    }


def _row_shown(
    row: dict[str, Any], units: dict[str, WeightUnit], *, linked: bool
) -> dict[str, Any]:
    return {
        **row,
        "linked": linked,
        "tie": behind_words(row["behind"]),
        "weight": _(" and ").join(weight_said(w["weight"], w["unit"]) for w in row["weights"]),
        "cells": [_cell(said, units[said["round"]]) for said in row["rounds"]],
    }


def _cell(said: dict[str, Any], unit: WeightUnit) -> dict[str, Any]:
    return {
        **said,
        "status_said": status_words(said["status"]),
        "weight_said": _weight_said(said["weight"], unit),
        "why": dropped_words(said["dropped"]) if said["dropped"] else "",
    }


def _weight_said(weight: int | None, unit: WeightUnit) -> str:
    if weight is None:
        return ""
    return weight_said(weight, unit) if weight else _("blank")


def status_words(status: str) -> str:
    """What is to be said of a round that was not simply fished."""
    return {
        "missed": _("missed"),
        "absent": _("absent"),
        "disqualified": _("disqualified"),
        "to_weigh": _("to weigh"),
    }.get(status, "")


def _change_shown(change: dict[str, Any]) -> dict[str, Any]:
    before, after = change["before"], change["after"]
    parts = [
        {"what": what, "before": _said(before, key), "after": _said(after, key)}
        for key, what in (("rank", _("rank")), ("total", _("total")))
        if _said(before, key) != _said(after, key)
    ]
    parts += [
        {
            "what": _("round %(n)s") % {"n": r["round"]},
            "before": _score_said(r["before"]),
            "after": _score_said(r["after"]),
        }
        for r in change["rounds"]
    ]
    return {"where": change["name"], "parts": parts}


def _said(values: dict[str, Any] | None, key: str) -> str:
    return _("none") if values is None or values[key] is None else str(values[key])


def _score_said(score: dict[str, Any] | None) -> str:
    if score is None:
        return _("none")
    points = _("none") if score["points"] is None else numeral(str(score["points"]))
    words = [status_words(score["status"])]
    if score["points"] is not None and not score["counts"]:
        words.append(_("dropped"))
    return ", ".join([points, *(word for word in words if word)])


def season_shown(body: dict[str, Any], row: dict[str, Any]) -> dict[str, Any]:
    """One row's season: a line a round, and three charts that say the same."""
    units = {str(r["number"]): r["weight_unit"] for r in body["rounds"]}
    rounds = {str(r["number"]): r for r in body["rounds"]}
    lines = [
        {**_cell(said, units[said["round"]]), "match": rounds[said["round"]], "after": after}
        for said, after in zip(row["rounds"], season_course(body, key=row["id"]), strict=True)
    ]
    return {
        "row": _row_shown(row, units, linked=False),
        "lines": lines,
        "charts": _charts(lines, units),
    }


def _charts(lines: list[dict[str, Any]], units: dict[str, WeightUnit]) -> list[dict[str, Any]]:
    return [
        _titled(_("Place in each round"), line(_places(lines), best_low=True)),
        _titled(_("Weight in each round"), bars(_weights(lines, units))),
        _titled(_("Total after each round"), line(_totals(lines), best_low=False)),
    ]


def _titled(title: str, chart: Chart) -> dict[str, Any]:
    said = [_("round %(n)s: %(value)s") % {"n": m.round, "value": m.label} for m in chart.marks]
    return {"title": title, "chart": chart, "said": "; ".join(said)}


def _places(lines: list[dict[str, Any]]) -> list[Value]:
    return [
        Value(
            x["round"],
            None if x["place"] is None else Fraction(x["place"]),
            x["place"] or x["status_said"] or "–",
            dropped=bool(x["dropped"]),
        )
        for x in lines
    ]


def _weights(lines: list[dict[str, Any]], units: dict[str, WeightUnit]) -> list[Value]:
    return [
        Value(
            x["round"],
            None
            if x["weight"] is None
            else weight_in(x["weight"], unit=units[x["round"]], other="g"),
            _weight_short(x["weight"], units[x["round"]]) or x["status_said"],
            dropped=bool(x["dropped"]),
        )
        for x in lines
    ]


def _weight_short(weight: int | None, unit: WeightUnit) -> str:
    """A weight that fits over a bar: drams are left to the table."""
    if weight is None:
        return ""
    said = weight_said(weight, unit)
    return said if unit == "g" else said.rsplit(" ", 2)[0]


def _totals(lines: list[dict[str, Any]]) -> list[Value]:
    return [
        Value(
            x["round"],
            None if x["after"].total is None else Fraction(x["after"].total),
            x["after"].total or "–",
        )
        for x in lines
    ]
