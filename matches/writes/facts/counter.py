"""The club's counter: facts are numbered without a hole, in the order they are committed."""

from __future__ import annotations

from django.db import connection

from matches.models import Club


def counter_lock(club_id: int) -> int:
    """Lock the club's row until the transaction ends; the last number given.

    An UPDATE, because it locks on every database (`select_for_update` does nothing on SQLite).
    Whoever reads up to a number has then seen every smaller one: nobody commits out of turn.
    """
    with connection.cursor() as cursor:
        cursor.execute(
            "UPDATE matches_club SET fact_counter = fact_counter WHERE id = %s"
            " RETURNING fact_counter",
            [club_id],
        )
        row = cursor.fetchone()
    return int(row[0])


def counter_raise(club_id: int, *, to: int) -> None:
    """Set the last number given; call it under `counter_lock`."""
    Club.objects.filter(pk=club_id).update(fact_counter=to)
