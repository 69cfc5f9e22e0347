"""The page on which a member plans where each feed is thrown, from what was measured before."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bait.reads.feed_tests import FeedTests, feed_tests_of
from bait.reads.feed_throws import (
    FedKind,
    ThrowKept,
    ThrowPlace,
    plan_feeds,
    throws_before,
    throws_of_entry,
)
from bait.reads.plans import entry_for_plan, own_entry_of, plan_of_entry
from bait.reads.throws_reckoned import tests_counting, throws_reckoned
from bait.reckon.feed_tests import FeedTest
from bait.writes.feed_throws import OUT_CM, ROD_CM, UPSTREAM_CM, feed_throws_keep
from matches.models import DrawnPeg, Entry, Person
from matches.problems import Problem
from matches.reads.swims_before import SwimMeasured, swims_measured
from web.measures_said import numeral
from web.methods import shown_and_sent
from web.people import person_of
from web.throw_words import feed_name, throw_said

SWIMS_MOST = 12
_METRES = re.compile(r"([-−]?)(\d{1,3})(?:[.,](\d{1,2}))?", re.ASCII)


@dataclass
class WhereRow:
    """One feed: what was typed, and what helps to decide."""

    feed: FedKind
    up: str = ""
    out: str = ""
    reckoned: str = ""
    timed: str = ""
    before: str = ""
    kept: str = ""
    faults: dict[str, str] = field(default_factory=dict)

    @property
    def name(self) -> str:
        return feed_name(self.feed)


@login_required
@shown_and_sent
def my_where(request: HttpRequest, match_id: int) -> HttpResponse:
    """One's own throws."""
    entry = own_entry_of(person_of(request), match_id=match_id)
    return _where(request, entry=entry, own=True)


@login_required
@shown_and_sent
def member_where(request: HttpRequest, match_id: int, entry_id: int) -> HttpResponse:
    """A member's throws, for their captain to read."""
    person = person_of(request)
    entry = entry_for_plan(person, match_id=match_id, entry_id=entry_id)
    return _where(request, entry=entry, own=entry.angler.person_id == person.pk)


def _where(request: HttpRequest, *, entry: Entry, own: bool) -> HttpResponse:
    person = person_of(request)
    plan = plan_of_entry(entry)
    feeds = plan_feeds(plan) if plan else []
    swims = swims_measured(person, entry=entry)
    peg = DrawnPeg.objects.filter(entry=entry).values_list("section_peg__peg__number", flat=True)
    swims = sorted(swims, key=lambda swim: swim.peg != (peg.first() or ""))[:SWIMS_MOST]
    typed = request.POST if request.method == "POST" else request.GET
    swim = next((s for s in swims if _key(s) == typed.get("swim")), swims[0] if swims else None)
    kept = throws_of_entry(entry)
    rows = _rows(person, entry, feeds=feeds, swim=swim, kept=kept)
    rod = next((_metres(k.place.rod_cm) for k in kept.values() if k.place.rod_cm), "")
    faults: dict[str, str] = {}
    if request.method == "POST":
        rod = typed.get("rod", "")
        for row in rows:
            row.up, row.out = (typed.get(f"{part}-{row.feed.key}", "") for part in ("up", "out"))
        if _keep(request, rows, rod, faults, entry=entry):
            return redirect(f"{request.path}?swim={_key(swim)}" if swim else request.path)
    context: dict[str, Any] = {
        "club": entry.match.club,
        "match": entry.match,
        "entry": entry,
        "own": own,
        "plan": plan,
        "rows": rows,
        "rod": rod,
        "faults": faults,
        "swims": [{"key": _key(s), "said": _swim_said(s), "chosen": s is swim} for s in swims],
    }
    return render(request, "desk/where.html", context)


def _key(swim: SwimMeasured) -> str:
    return f"{swim.match}-{swim.peg}"


def _swim_said(swim: SwimMeasured) -> str:
    words = _("Peg %(peg)s, %(date)s: %(depth)s m deep, %(speed)s m/s, rig settles %(rig)s m")
    return words % {
        "peg": swim.peg,
        "date": date_format(swim.date, _("j M Y")),
        "depth": numeral(f"{swim.depth_m:.1f}"),
        "speed": numeral(f"{sum(swim.speeds) / len(swim.speeds):.2f}"),
        "rig": numeral(f"{swim.settles_m:.1f}"),
    }


def _rows(
    person: Person,
    entry: Entry,
    *,
    feeds: Sequence[FedKind],
    swim: SwimMeasured | None,
    kept: Mapping[str, ThrowKept],
) -> list[WhereRow]:
    before = throws_before(entry)
    tests = feed_tests_of(person, club=entry.match.club)
    counting = tests_counting(person, tests, feeds)
    reckoned = throws_reckoned(swim, feeds=feeds, tests=counting) if swim else {}
    measures, rows = person.measures, []
    for feed in feeds:
        row = WhereRow(feed)
        place = kept[feed.key].place if feed.key in kept else None
        if place is not None:
            row.kept, row.up = throw_said(place, measures=measures), _metres(place.upstream_cm)
            row.out = "" if place.out_cm is None else _metres(place.out_cm)
        if feed.key in reckoned:
            upstream_cm = round(reckoned[feed.key] * 10) * 10
            row.reckoned = throw_said(ThrowPlace(upstream_cm), measures=measures)
            row.up = row.up or _metres(upstream_cm)
        if feed.key in before:
            last = before[feed.key]
            row.before = _last_said(last.place, last.date, last.peg, measures=measures)
            if place is None:
                row.up = row.up or _metres(last.place.upstream_cm)
                row.out = "" if last.place.out_cm is None else _metres(last.place.out_cm)
        row.timed = _timed_said(counting.get(feed.bait or ""), tests)
        rows.append(row)
    return rows


def _last_said(place: ThrowPlace, date: str, peg: str, *, measures: str) -> str:
    said = {"said": throw_said(place, measures=measures), "date": _day(date), "peg": peg}
    if not peg:
        return _("Last time here, %(date)s: %(said)s") % said
    return _("Last time here, %(date)s at peg %(peg)s: %(said)s") % said


def _timed_said(test: FeedTest | None, tests: FeedTests) -> str:
    if test is None:
        return ""
    drops = ngettext("%(n)d drop", "%(n)d drops", len(test.drops)) % {"n": len(test.drops)}
    who = f"{tests.names[test.author]}, {_day(test.date)}, {drops}"
    if test.sinks is None:
        return _("It floats, as timed by %(who)s.") % {"who": who}
    words = _("Sinks %(speed)s cm/s, timed by %(who)s.")
    return words % {"speed": numeral(f"{test.sinks.mean * 100:.1f}"), "who": who}


def _day(date: str) -> str:
    return date_format(dt.date.fromisoformat(date), _("j M Y"))


def _metres(cm: int) -> str:
    return f"{cm / 100:.2f}".rstrip("0").rstrip(".")


def _keep(
    request: HttpRequest, rows: list[WhereRow], rod: str, faults: dict[str, str], *, entry: Entry
) -> bool:
    """Whether the throws are kept; if not, the rows and `faults` say why."""
    rod_cm = _read(rod, ROD_CM, faults, "rod")
    wanted: dict[FedKind, ThrowPlace | None] = {}
    for row in rows:
        up_cm = _read(row.up, UPSTREAM_CM, row.faults, "up")
        out_cm = _read(row.out, OUT_CM, row.faults, "out")
        if up_cm is None and out_cm is not None:
            row.faults.setdefault("up", _("Say how far upstream too: 0 is level with the rig."))
        wanted[row.feed] = None if up_cm is None else ThrowPlace(up_cm, out_cm, rod_cm)
    if faults or any(row.faults for row in rows):
        return False
    try:
        changed = feed_throws_keep(person_of(request), entry=entry, wanted=wanted)
    except Problem as problem:
        faults["where"] = problem.detail
        return False
    words = ngettext("%(n)d throw is kept.", "%(n)d throws are kept.", changed) % {"n": changed}
    messages.success(request, words if changed else _("Nothing was changed."))
    return True


def _read(text: str, bounds: tuple[int, int], faults: dict[str, str], key: str) -> int | None:
    """Metres as typed, in centimetres; None where nothing was, and where a fault is noted."""
    text = text.strip()
    if not text:
        return None
    found = _METRES.fullmatch(text)
    cm = 0
    if found:
        sign, whole, part = found.groups()
        cm = int(whole) * 100 + int((part or "").ljust(2, "0"))
        cm = -cm if sign else cm
    least, most = bounds
    if found is None or not least <= cm <= most:
        words = _("Write metres from %(least)s to %(most)s, such as 6.4.")
        faults[key] = words % {"least": _metres(least), "most": _metres(most)}
        return None
    return cm
