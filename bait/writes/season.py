"""A team's season: asked for, worked out once for the same notes and results, kept."""

from __future__ import annotations

import time
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from bait.models import SeasonAnswer
from bait.reads.season import SeasonInputs, season_inputs
from bait.reads.season_seen import SEASON_WORK, season_stands, season_team, season_work
from bait.reckon.season import season_work_out
from matches.models import Person, Team, WorkRequest
from matches.writes.audit import audit_record
from matches.writes.work import Claim, LeaseLost, work_ask, work_fail, work_finish, work_held

from .work_progress import WorkProgress


def season_ask(person: Person, *, team_id: int) -> WorkRequest:
    """Ask for a team's season to be worked out. Asking again while it waits asks once.

    The trail tells of what can change something: not of an ask that joins another, nor of one with
    no note or result since the last answer (which a worker looks at all the same: a bait may weigh
    otherwise). Raises Problem NOT_FOUND and NOT_ALLOWED.
    """
    team, _all_days = season_team(person, team_id=team_id)
    with transaction.atomic():
        before = season_work(team)
        work = work_ask(person, club=team.club, kind=SEASON_WORK, key=str(team.pk))
        if work != before and not season_stands(team):
            audit_record(
                club=team.club,
                person=person,
                verb="season.asked",
                subject=f"team {team.pk}",
                detail={"work": str(work.pk)},
            )
    return work


def season_answer_make(work_id: UUID) -> SeasonAnswer | None:
    """Work out the season of one row of work; what these inputs came to before is taken as it is.

    May run twice, and at the same time. None when the row is another's, done, or its team is gone.
    """
    with work_held(work_id) as claim:
        if claim is None:
            return None
        team = Team.objects.filter(pk=int(claim.key)).first()
        if team is None:
            work_fail(claim, problem=_("This team is gone."), retry=False)
            return None
        try:
            progress = WorkProgress(claim)
            progress(0, "reading")
            inputs = season_inputs(team)
            known = SeasonAnswer.objects.filter(inputs_digest=inputs.digest).exists()
            began = time.monotonic()
            answer = None if known else season_work_out(inputs.days, progress=progress).as_json()
        except LeaseLost:
            return None  # another worker took it over, and keeps the answer
        seconds = Decimal(f"{time.monotonic() - began:.3f}")
        return _keep(claim, team=team, inputs=inputs, answer=answer, seconds=seconds)


def _keep(
    claim: Claim,
    *,
    team: Team,
    inputs: SeasonInputs,
    answer: dict[str, Any] | None,
    seconds: Decimal,
) -> SeasonAnswer:
    with transaction.atomic():
        kept, _made = SeasonAnswer.objects.get_or_create(
            inputs_digest=inputs.digest,
            defaults={
                "team": team,
                "answer": answer,
                "seconds": seconds,
                "read_at": inputs.read_at,
            },
        )
        # A slow worker must not put its older reading over a newer one.
        SeasonAnswer.objects.filter(pk=kept.pk, read_at__lt=inputs.read_at).update(
            read_at=inputs.read_at
        )
        work_finish(claim)
    kept.refresh_from_db()
    return kept
