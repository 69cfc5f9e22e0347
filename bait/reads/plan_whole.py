"""Plans with all they are made of, read in one query and as reckoning takes them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.db.models import OuterRef, QuerySet

from bait.models import Bait, Mix, MixPart, Plan, PlanSubstitute, Stage, StageFeed, ThrowSize
from bait.reckon.plans import Balls, Feed, PlannedMix, PlannedStage, Throws
from bait.reckon.plans import MixPart as PlannedPart
from matches.reads.rows_along import RowsAlong, columns_of, row_made

Cells = list[Any]


@dataclass(frozen=True, slots=True)
class WholePlan:
    """A plan with its entry and angler, mixes and stages in their order.

    `notes` are those of the stages. `baits`: what is mixed, fed or hooked, by key; `instead`: what
    is taken where the bait of that key cannot be had. `throws`: what the angler measured.
    """

    plan: Plan
    mixes: tuple[PlannedMix, ...]
    stages: tuple[PlannedStage, ...]
    notes: tuple[str, ...]
    baits: Mapping[str, Bait]
    instead: Mapping[str, Bait]
    throws: Throws


def plans_whole(plans: QuerySet[Plan]) -> list[WholePlan]:
    """One query for any number of plans, however long. Of rows that belong together each begins
    with what it is sorted by."""
    bait = columns_of(Bait, "bait")
    plan = OuterRef("pk")
    rows = plans.select_related("entry__angler").annotate(
        mix_rows=RowsAlong(
            Mix.objects.filter(plan=plan),
            *("position", "pk", "name", "rest_minutes"),
            *("water_per_dry", "swell", "squeeze", "packing", "film_mm"),
        ),
        part_rows=RowsAlong(
            MixPart.objects.filter(mix__plan=plan),
            *("mix_id", "after_rest", "pk", "bait__key", "amount", "unit", *bait),
        ),
        stage_rows=RowsAlong(
            Stage.objects.filter(plan=plan),
            *("position", "pk", "kind", "line", "start_minute", "end_minute", "every_seconds"),
            *("note", "balls", "ball_mm", "mix__name"),
        ),
        feed_rows=RowsAlong(
            StageFeed.objects.filter(stage__plan=plan),
            *("stage_id", "bait__name", "bait__key", "amount", "unit", *bait),
        ),
        substitute_rows=RowsAlong(
            PlanSubstitute.objects.filter(plan=plan),
            *("bait__name", "bait__key", *columns_of(Bait, "instead")),
        ),
        throw_rows=RowsAlong(
            ThrowSize.objects.filter(angler=OuterRef("entry__angler")),
            *("pk", "throw", "bait__key", "ml"),
        ),
    )
    return [_whole(row, read=vars(row)) for row in rows]


def _whole(plan: Plan, *, read: Mapping[str, list[Cells]]) -> WholePlan:
    baits: dict[str, Bait] = {}
    parts: dict[int, list[PlannedPart]] = defaultdict(list)
    for mix, after, _pk, key, amount, unit, *bait in sorted(read["part_rows"]):
        parts[mix].append(PlannedPart(key, Fraction(amount), unit, bool(after)))
        baits[key] = baits.get(key) or row_made(Bait, bait)
    feeds: dict[int, list[Feed]] = defaultdict(list)
    for stage, _name, key, amount, unit, *bait in sorted(read["feed_rows"]):
        feeds[stage].append(Feed(key, Fraction(amount), unit))
        baits[key] = baits.get(key) or row_made(Bait, bait)
    stages = sorted(read["stage_rows"])
    return WholePlan(
        plan,
        mixes=tuple(_mix(row, parts=parts) for row in sorted(read["mix_rows"])),
        stages=tuple(_stage(row, feeds=feeds) for row in stages),
        notes=tuple(row[7] for row in stages),
        baits=baits,
        instead={
            key: row_made(Bait, bait) for _name, key, *bait in sorted(read["substitute_rows"])
        },
        throws=throws_of(row[1:] for row in sorted(read["throw_rows"])),
    )


def _mix(row: Cells, *, parts: Mapping[int, list[PlannedPart]]) -> PlannedMix:
    _position, pk, name, rest_minutes, *figures = row
    water, swell, squeeze, packing, film_mm = map(Fraction, figures)
    return PlannedMix(
        name=name,
        parts=tuple(parts.get(pk, ())),
        rest_minutes=rest_minutes,
        water_per_dry=water,
        swell=swell,
        squeeze=squeeze,
        packing=packing,
        film_mm=film_mm,
    )


def _stage(row: Cells, *, feeds: Mapping[int, list[Feed]]) -> PlannedStage:
    _position, pk, kind, line, start, end, every, _note, balls, ball_mm, mix = row
    return PlannedStage(
        start_minute=start,
        end_minute=end,
        every_seconds=every,
        feeds=tuple(feeds.get(pk, ())),
        kind=kind,
        line=line,
        balls=None if mix is None else Balls(count=balls, mm=ball_mm, mix=mix),
    )


def throws_of(sizes: Iterable[Sequence[Any]]) -> Throws:
    """Measured throws (throw, key of the bait or None, millilitres) as reckoning takes them; the
    others are `THROW_ML`."""
    return {(throw, bait): Fraction(ml) for throw, bait, ml in sizes}


def angler_throws(angler_id: int) -> Throws:
    """The throws an angler has measured. One query."""
    sizes = ThrowSize.objects.filter(angler=angler_id).order_by("pk")
    return throws_of(sizes.values_list("throw", "bait__key", "ml"))
