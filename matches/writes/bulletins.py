"""Publishing: numbered bulletins that never change, each with a digest of all it says."""

from __future__ import annotations

import datetime as dt

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from matches.models import Bulletin, Match, MatchState, Person
from matches.problems import Code, Problem, bad_field
from matches.reads.bulletin_bodies import bulletin_body, bulletin_changes
from matches.reads.results import MatchResult, match_result
from matches.reckon.canonical import canonical_digest
from matches.reckon.reading import is_storable
from matches.times import zone_named

from .audit import audit_record
from .deliveries import bulletin_tell
from .draws import telling_refuse
from .league_tables import league_tables_renew
from .locks import match_locked


def bulletin_publish(
    person: Person, *, match: Match, confirmed: bool = False, reason: str = ""
) -> Bulletin:
    """Publish what stands now as the match's next bulletin, provisional or confirmed.

    A bulletin after the first needs `reason`, unless it only confirms what the one before said.
    A provisional one can be objected to until its time is over. Confirming sooner needs `reason`.
    Refused (Problem): confirmation while a disagreement is open, somebody is still to weigh, or an
    objection waits for its answer; a bulletin that would say nothing new; a match without a draw.
    """
    if not is_storable(reason):
        sentence = _("A character here cannot be stored: write it anew.")
        raise bad_field("/reason", sentence)
    with transaction.atomic():
        match = match_locked(person, match=match)
        telling_refuse(match)
        result = match_result(match)
        before = match.bulletins.order_by("-number").first()
        if not any(result.entries()):
            raise Problem(Code.CONFLICT, _("Nobody has a peg yet: hold the draw first."))
        if confirmed:
            _unsettled_refuse(result)
            _too_soon_refuse(match, before=before, reason=reason)
        bulletin = _bulletin_make(
            person, result=result, before=before, confirmed=confirmed, reason=reason.strip()[:400]
        )
        state = MatchState.CONFIRMED if confirmed else MatchState.PROVISIONAL
        Match.objects.filter(pk=match.pk).update(state=state)
        audit_record(
            club=match.club,
            person=person,
            verb="bulletin_publish",
            subject=match,
            detail={
                "bulletin": bulletin.number,
                "confirmed": confirmed,
                "digest": bulletin.digest,
                "reason": bulletin.reason,
            },
        )
        bulletin_tell(bulletin)
        league_tables_renew(person, bulletin=bulletin)
        return bulletin


def _bulletin_make(
    person: Person,
    *,
    result: MatchResult,
    before: Bulletin | None,
    confirmed: bool,
    reason: str,
) -> Bulletin:
    body = bulletin_body(result, confirmed=confirmed)
    changes = bulletin_changes(before.body, body) if before else []
    if before is not None:
        if not changes and before.confirmed == confirmed:
            raise Problem(
                Code.CONFLICT,
                _("Bulletin %(n)s says exactly this already. Nothing was published.")
                % {"n": before.number},
            )
        if not reason and not changes and confirmed:
            reason = _("Confirmed without a change.")
        if not reason:
            sentence = _("Say why this differs from bulletin %(n)s: everybody will read it.") % {
                "n": before.number
            }
            raise bad_field("/reason", sentence)
    until = None if confirmed else objections_until(result.match, now=timezone.now())
    body |= {
        "objections_until": until and until.isoformat(),
        "objections": result.match.objections.count(),
        "number": before.number + 1 if before else 1,
        "reason": reason,
        "before": before.digest if before else None,
        "changes": changes,
    }
    return Bulletin.objects.create(
        match=result.match,
        number=body["number"],
        confirmed=confirmed,
        body=body,
        digest=canonical_digest(body),
        reason=reason,
        objections_until=until,
        published_by=person,
    )


def objections_until(match: Match, *, now: dt.datetime) -> dt.datetime | None:
    """Until when a bulletin published now can be objected to: the match's minutes, and on to the
    next whole one. None where the match gives no time."""
    if not match.objection_min:
        return None
    minute = dt.timedelta(minutes=1)
    whole = now.replace(second=0, microsecond=0)
    return whole + minute * (match.objection_min + (whole < now))


def _too_soon_refuse(match: Match, *, before: Bulletin | None, reason: str) -> None:
    """Everybody must have had the time to object, or the reason says why not. What was confirmed
    before is corrected, which needs a reason anyway."""
    if reason.strip() or not match.objection_min:
        return
    if before is None:
        sentence = _(
            "Nobody could object yet. Publish it as provisional first, or say why it is "
            "confirmed at once, such as: everybody agreed at the scales."
        )
    elif before.objections_until and before.objections_until > timezone.now():
        until = before.objections_until.astimezone(zone_named(match.venue.timezone))
        sentence = _(
            "Bulletin %(n)s can be objected to until %(until)s. Wait, or say why it is confirmed "
            "sooner, such as: everybody agreed at the scales."
        ) % {"n": before.number, "until": f"{until:%H:%M}"}
    else:
        return
    raise bad_field("/reason", sentence)


def _unsettled_refuse(result: MatchResult) -> None:
    if result.disagreements:
        raise Problem(
            Code.CONFLICT,
            _("Settle what disagrees before you confirm: %(n)s still open.")
            % {"n": result.disagreements},
        )
    if open_ := result.match.objections.filter(answer="").count():
        raise Problem(
            Code.CONFLICT,
            _("Answer what was objected to before you confirm: %(n)s still open.") % {"n": open_},
        )
    if result.to_weigh:
        names = ", ".join(f"{e.peg} {e.angler}" for e in result.to_weigh[:5])
        raise Problem(
            Code.CONFLICT,
            _("Still to weigh: %(names)s. Log the weight, 0 for a blank, or mark who was absent.")
            % {"names": names},
        )
