"""After the match: what an angler's notes say, on one page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from bait.reads.learnt import next_plan, review_learnt
from bait.reads.plans import entry_for_plan, own_entry_of
from bait.reads.review import Review, review_of
from bait.reckon.review import LineDay, StageDay
from matches.models import Entry
from web.measures_said import weight_said
from web.people import person_of
from web.review_picture import review_picture
from web.review_words import (
    chance_said,
    clock,
    doubts_said,
    earlier_said,
    line_name,
    rate_said,
    review_said,
)


@login_required
@require_safe
def my_review(request: HttpRequest, match_id: int) -> HttpResponse:
    """One's own day."""
    entry = own_entry_of(person_of(request), match_id=match_id)
    return _review(request, entry=entry, own=True)


@login_required
@require_safe
def member_review(request: HttpRequest, match_id: int, entry_id: int) -> HttpResponse:
    """A member's day, for their captain."""
    person = person_of(request)
    entry = entry_for_plan(person, match_id=match_id, entry_id=entry_id)
    return _review(request, entry=entry, own=entry.angler.person_id == person.pk)


@dataclass(frozen=True, slots=True)
class RateRow:
    """One line or stage in words: how long, how many fish, how fast, how sure."""

    name: str
    minutes: int
    fish: int
    per_hour: str
    between: str
    about: str = ""
    best: str = ""


@dataclass(frozen=True, slots=True)
class QuarterRow:
    start: str
    end: str
    fish: int
    about: str


def _review(request: HttpRequest, *, entry: Entry, own: bool) -> HttpResponse:
    review = review_of(entry)
    earlier = review_learnt(review)
    return render(
        request,
        "desk/review.html",
        {
            "club": entry.match.club,
            "match": entry.match,
            "entry": entry,
            "own": own,
            "review": review,
            "said": review_said(review),
            "doubts": doubts_said(review),
            "last_call": clock(review, review.last_call),
            "picture": None if review.is_empty else review_picture(review),
            "lines": [_line_row(review, line) for line in review.day.lines],
            "stages": [_stage_row(review, stage) for stage in review.day.stages],
            "quarters": list(_quarters(review)),
            "earlier": earlier_said(earlier, match=entry.match.name) if earlier else "",
            "next": next_plan(entry) if earlier else None,
        },
    )


def _line_row(review: Review, line: LineDay) -> RateRow:
    low, high = line.per_hour_90
    about = line.per_hour_about
    factor = float(review.day.factor or 1)
    unit = review.entry.match.unit
    return RateRow(
        name=line_name(line.name),
        minutes=round(line.seconds / 60),
        fish=line.fish,
        per_hour=rate_said(line.per_hour),
        between=_between(low, high),
        about=weight_said(round(about * factor), unit) if about is not None else "",
        best="" if line.best is None else chance_said(line.best),
    )


def _stage_row(review: Review, stage: StageDay) -> RateRow:
    low, high = stage.per_hour_90
    planned = review.plan.stages[stage.place] if review.plan else None
    baits = [review.names.get(feed.bait, feed.bait) for feed in planned.feeds] if planned else []
    span = _("%(start)d to %(end)d min") % {
        "start": planned.start_minute if planned else 0,
        "end": planned.end_minute if planned else 0,
    }
    return RateRow(
        name=", ".join([*([line_name(stage.line)] if stage.line else []), *baits, span]),
        minutes=round(stage.seconds / 60),
        fish=stage.fish,
        per_hour=rate_said(stage.per_hour),
        between=_between(low, high),
    )


def _between(low: float, high: float) -> str:
    return _("%(low)s to %(high)s") % {"low": rate_said(low), "high": rate_said(high)}


def _quarters(review: Review) -> Iterable[QuarterRow]:
    unit = review.entry.match.unit
    factor = review.day.factor or Fraction(1)
    for quarter in review.day.quarters:
        yield QuarterRow(
            start=clock(review, quarter.start),
            end=clock(review, quarter.end),
            fish=quarter.fish,
            about=weight_said(round(quarter.about * factor), unit) if quarter.about else "",
        )
