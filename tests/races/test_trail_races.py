"""Many who change something of one club at once: their rows are one chain without a hole."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import transaction

from matches.models import AuditEntry
from matches.reads.trail import chain_head, chain_walked
from matches.writes.audit import audit_record
from matches.writes.locks import club_locked

pytestmark = pytest.mark.django_db(transaction=True)

AT_ONCE, EACH = 8, 5


def test_rows_written_at_once_follow_one_another_and_what_is_taken_back_leaves_no_hole(
    shared_world: Any, together: Any
) -> None:
    world = shared_world
    before = {club: chain_head(club.pk)[0] for club in (world.club, world.other_club)}

    def write(club: Any, *, number: int, locked: bool) -> None:
        with transaction.atomic():
            if locked:
                club_locked(world.secretary, club=club)
            audit_record(
                club=club, person=None, verb="match_change", subject=number, detail={"n": number}
            )
            transaction.set_rollback(number % 3 == 0)

    def act(n: int) -> bool:
        for number in range(EACH):
            write(world.club, number=n + number, locked=n % 2 == 0)
            write(world.other_club, number=n + number, locked=False)
        return True

    assert together([lambda n=n: act(n) for n in range(AT_ONCE)]) == [True] * AT_ONCE
    kept = sum((n + number) % 3 != 0 for n in range(AT_ONCE) for number in range(EACH))
    for club, length in before.items():
        assert AuditEntry.objects.filter(club=club, verb="match_change").count() == kept
        walked = chain_walked(club.pk)
        assert (walked.length, walked.misfit) == (length + kept, None)
