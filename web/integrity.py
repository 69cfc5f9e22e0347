"""Whether what is stored agrees with itself: each thing that does not, in a sentence.

Nothing is changed: what the facts come to is worked out in a transaction that is taken back.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.db import DatabaseError, IntegrityError, connection, transaction
from django.db.models import Max, Sum
from django.utils.translation import gettext as _

from bait.models import OrderVersion
from bait.reads.larder import lots_astray
from bait.reads.order_inputs import inputs_digest
from matches.models import Bulletin, Club, Disagreement, Draw, LeagueTable, Match, WeighIn
from matches.reads.draws import draw_answer
from matches.reads.league_course import table_request
from matches.reads.trail import redactions
from matches.reckon.canonical import canonical_digest
from matches.reckon.decimals import decimal_text
from matches.reckon.draw import draw_commitment
from matches.reckon.errors import BadInput
from matches.reckon.league import league_work_out
from matches.writes.facts import weigh_ins_project
from web.trail_words import trail_faults


def faults_found() -> Iterator[str]:
    """Everything looked at, the database itself first; no more is asked of a damaged one."""
    try:
        damaged = list(_database())
    except DatabaseError as error:
        damaged = [_("The database says: %s") % error]
    yield from damaged
    if damaged:
        return
    yield from _counters()
    for match in Match.objects.select_related("club").order_by("pk"):
        yield from _weigh_ins(match)
    yield from _bulletins()
    yield from _league_tables()
    yield from _order_versions()
    yield from _draws()
    if astray := lots_astray():
        yield _("Lots that do not hold the sum of their moves: %s.") % ", ".join(map(str, astray))
    yield from trail_faults()


def _database() -> Iterator[str]:
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("PRAGMA integrity_check")
            for (said,) in cursor.fetchall():
                if said != "ok":
                    yield _("The database says: %s") % said
        elif connection.vendor == "postgresql":
            cursor.execute("SELECT conname FROM pg_constraint WHERE NOT convalidated")
            for (name,) in cursor.fetchall():
                yield _("The database does not hold its rows to %s.") % name
    try:
        connection.check_constraints()
    except IntegrityError as error:
        yield _("A row points to one that is not there: %s") % error


def _counters() -> Iterator[str]:
    for club in Club.objects.annotate(last=Max("facts__cseq")).order_by("pk"):
        if (club.last or 0) > club.fact_counter:
            yield _("%(club)s counts %(counted)d facts, and there is a number %(last)d.") % {
                "club": club,
                "counted": club.fact_counter,
                "last": club.last,
            }


def _weigh_ins(match: Match) -> Iterator[str]:
    with transaction.atomic():
        Club.objects.select_for_update().get(pk=match.club_id)
        weights, disputes = _weights(match), _disputes(match)
        WeighIn.objects.filter(match=match).delete()
        weigh_ins_project(match=match)
        same_weights, same_disputes = weights == _weights(match), disputes == _disputes(match)
        transaction.set_rollback(True)
    if not same_weights:
        yield _("%s: its weigh-ins are not what its facts say.") % match
    if not same_disputes:
        yield _("%s: its open disagreements are not those of its facts.") % match


def _weights(match: Match) -> list[Any]:
    rows = WeighIn.objects.filter(match=match).order_by("fact_id", "net", "stands")
    return list(rows.values_list("fact_id", "section_peg_id", "net", "weight", "fish", "stands"))


def _disputes(match: Match) -> list[Any]:
    rows = Disagreement.objects.filter(match=match, ruling__isnull=True)
    return list(
        rows.order_by("kind", "peg", "net", "facts").values_list("kind", "peg", "net", "facts")
    )


def _bulletins() -> Iterator[str]:
    listed = redactions("bulletins")
    for bulletin in Bulletin.objects.order_by("pk").iterator(chunk_size=50):
        if _differs(bulletin, listed):
            yield _("Bulletin %s is not what its digest was taken of.") % bulletin


def _league_tables() -> Iterator[str]:
    listed = redactions("tables")
    for table in LeagueTable.objects.order_by("pk").iterator(chunk_size=50):
        if _differs(table, listed):
            yield _("League table %s is not what its digest was taken of.") % table
        elif not _adds_up(table.body):
            yield _("League table %s does not follow from its own rounds and rules.") % table


def _differs(published: Bulletin | LeagueTable, listed: dict[int, str]) -> bool:
    """Whether it says anything but what was published, or what the trail says it was made to say
    when somebody's name was taken out."""
    if published.redacted and published.redacted != listed.get(published.pk):
        return True
    return canonical_digest(published.body) != published.digest_shown


def _adds_up(body: dict[str, Any]) -> bool:
    try:
        answer = league_work_out(table_request(body))
    except BadInput:
        return False
    worked = {row.id: (row.rank, decimal_text(row.total)) for row in answer.table}
    return worked == {row["id"]: (row["rank"], row["total"]) for row in body["table"]}


def _order_versions() -> Iterator[str]:
    rows = OrderVersion.objects.annotate(lines_pence=Sum("lines__cost_pence"))
    for version in rows.order_by("pk").iterator(chunk_size=50):
        if inputs_digest(version.inputs) != version.inputs_digest:
            yield _("Order %s is not what its digest was taken of.") % version
        if (version.lines_pence or 0) != version.goods_pence:
            yield _("Order %s: its lines do not add up to its goods.") % version


def _draws() -> Iterator[str]:
    for draw in Draw.objects.order_by("pk"):
        if draw_commitment(bytes.fromhex(draw.seed)) != draw.commitment:
            yield _("Draw %s: its seed does not give the commitment.") % draw
        elif draw.asked and not _works_out(draw):
            yield _("Draw %s cannot be worked out again from what it was asked.") % draw


def _works_out(draw: Draw) -> bool:
    try:
        draw_answer(draw)
    except BadInput:
        return False
    return True
