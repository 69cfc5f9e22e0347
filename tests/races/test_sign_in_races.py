"""Passwords tried by many at once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from matches.models import Attempts
from matches.problems import MustWait
from matches.writes.attempts import Door, Tally, attempt_begin

pytestmark = pytest.mark.django_db(transaction=True)


def test_twenty_tries_at_once_are_no_more_than_the_free_ones(
    shared_database: Any, together: Callable[..., Any]
) -> None:
    tallies = (Tally(Door.ACCOUNT, "idris"), Tally(Door.ADDRESS, "192.0.2.7"))

    def tried() -> bool:
        try:
            attempt_begin(*tallies)
        except MustWait:
            return False
        return True

    assert sum(together([tried] * 20)) == Door.ACCOUNT.free
    assert set(Attempts.objects.values_list("failures", flat=True)) == {Door.ACCOUNT.free}
