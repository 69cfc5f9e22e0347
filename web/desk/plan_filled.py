"""Where the plan editor's form is filled from: a plan's content, what was sent, or nothing yet."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bait.reckon.plans import MOST_FEEDS, MOST_STAGES
from bait.writes.mix_content import MOST_MIXES, MOST_PARTS
from bait.writes.plan_content import MOST_SUBSTITUTES

from .plan_form import PlanForm
from .plan_rows import (
    FEED_FIELDS,
    MIX_FIELDS,
    STAGE_FIELDS,
    SUBSTITUTE_FIELDS,
    FeedRow,
    MixRow,
    StageRow,
    SubstituteRow,
)


def form_of_content(content: Mapping[str, Any], *, version: int) -> PlanForm:
    """The editor filled from a plan's content, as `plan_json` gives it out."""
    mixes = content.get("mixes", [])
    places = {mix["name"]: str(n) for n, mix in enumerate(mixes)}
    return PlanForm(
        version=str(version),
        spare_percent=str(content.get("spare_percent", 0)),
        note=content.get("note", ""),
        mixes=[_mix_row(mix) for mix in mixes],
        stages=[_stage_row(stage, places=places) for stage in content["stages"]],
        substitutes=[
            SubstituteRow(pair["bait"], pair["instead"]) for pair in content.get("substitutes", [])
        ],
    )


def _mix_row(mix: Mapping[str, Any]) -> MixRow:
    row = MixRow(parts=[_feed_row(part) for part in mix["parts"]])
    for key in MIX_FIELDS:
        setattr(row, key, str(mix.get(key, getattr(row, key))))
    return row


def _stage_row(stage: Mapping[str, Any], *, places: Mapping[str, str]) -> StageRow:
    every, balls = stage.get("every_seconds"), stage.get("balls")
    return StageRow(
        kind=stage["kind"],
        line=stage.get("line", ""),
        start_minute=str(stage.get("start_minute", 0)),
        end_minute=str(stage["end_minute"]),
        every_seconds="" if every is None else str(every),
        note=stage.get("note", ""),
        balls_count=str(balls["count"]) if balls else "",
        balls_mm=str(balls["mm"]) if balls else "",
        balls_mix=places.get(balls["mix"], "") if balls else "",
        feeds=[_feed_row(feed) for feed in stage["feeds"]],
    )


def _feed_row(feed: Mapping[str, Any]) -> FeedRow:
    return FeedRow(
        feed["bait"], feed["amount"], feed["unit"], after_rest=feed.get("after_rest", False)
    )


def form_first(*, length_minutes: int) -> PlanForm:
    """Where somebody without a plan starts: an opening, and a stage for the match."""
    return PlanForm(
        stages=[
            StageRow("opening", start_minute="-10", end_minute="0", feeds=[FeedRow()]),
            StageRow("feed", end_minute=str(length_minutes), feeds=[FeedRow()]),
        ]
    )


def form_sent(sent: Mapping[str, str]) -> PlanForm:
    """The editor as it was sent: rows count up from 0 without a hole."""
    form = PlanForm(
        version=sent.get("version", "0"),
        spare_percent=sent.get("spare_percent", "0"),
        note=sent.get("note", ""),
    )
    for n in range(MOST_MIXES + 1):
        if f"mix-{n}-name" not in sent:
            break
        mix = MixRow(parts=_feeds_sent(sent, f"mix-{n}-part", most=MOST_PARTS))
        for key in MIX_FIELDS:
            setattr(mix, key, sent.get(f"mix-{n}-{key}", getattr(mix, key)))
        form.mixes.append(mix)
    for n in range(MOST_STAGES + 1):
        if f"stage-{n}-kind" not in sent:
            break
        stage = StageRow(feeds=_feeds_sent(sent, f"stage-{n}-feed", most=MOST_FEEDS))
        for key in STAGE_FIELDS:
            setattr(stage, key, sent.get(f"stage-{n}-{key}", ""))
        form.stages.append(stage)
    for n in range(MOST_SUBSTITUTES + 1):
        if f"substitute-{n}-bait" not in sent:
            break
        bait, instead = (sent.get(f"substitute-{n}-{key}", "") for key in SUBSTITUTE_FIELDS)
        form.substitutes.append(SubstituteRow(bait, instead))
    return form


def _feeds_sent(sent: Mapping[str, str], prefix: str, *, most: int) -> list[FeedRow]:
    rows = []
    for m in range(most + 1):
        if f"{prefix}-{m}-bait" not in sent:
            break
        bait, amount, unit = (sent.get(f"{prefix}-{m}-{key}", "") for key in FEED_FIELDS)
        rows.append(FeedRow(bait, amount, unit, after_rest=f"{prefix}-{m}-after_rest" in sent))
    return rows
