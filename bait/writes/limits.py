"""A match's bait limits are saved whole, as its organiser rules them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from bait.models import Bait, LimitCounts, LimitForm, LimitUse, MatchLimit
from bait.models.shops import BaitFamily
from bait.reads.baits import baits_of_club
from bait.reckon.limit_presets import LimitPreset
from matches.comma_words import comma_words
from matches.models import Match, Person
from matches.problems import Code, Problem
from matches.reads.access import is_secretary
from matches.reckon.decimals import decimal_read, decimal_text
from matches.reckon.errors import BadInput
from matches.reckon.reading import Reading, Where, is_storable
from matches.writes.audit import audit_record

MOST_PARTS = 30
MOST_WHOLE_L, MOST_PART_L = Fraction("9999.99"), Fraction("999.999")
#: Limits as JSON: two wholes ("" for no limit), their source, and the parts.
LimitsRaw = dict[str, Any]


def limits_raw(match: Match) -> LimitsRaw:
    """The match's limits as `limits_save` takes them. One query."""
    parts = MatchLimit.objects.filter(match=match).select_related("bait").order_by("position")
    return {
        "groundbait_l": _litres_text(match.groundbait_limit_l),
        "bait_l": _litres_text(match.bait_limit_l),
        "source": match.limits_source,
        "parts": [
            {
                "name": part.name,
                "counts": part.counts,
                "family": part.family,
                "bait": part.bait.key if part.bait else "",
                "use": part.use,
                "form": part.form,
                "allowed_l": _litres_text(part.allowed_l),
                "source": part.source,
            }
            for part in parts
        ],
    }


def limits_version(raw: LimitsRaw) -> str:
    """What tells limits apart from other limits: a digest of all they say."""
    text = json.dumps(raw, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def preset_raw(preset: LimitPreset) -> LimitsRaw:
    """A preset as `limits_save` takes it."""
    return {
        "groundbait_l": decimal_text(preset.groundbait_l),
        "bait_l": decimal_text(preset.bait_l),
        "source": preset.source,
        "parts": [
            {
                "name": part.name,
                "counts": part.counts,
                "family": part.family,
                "bait": part.bait or "",
                "use": part.use,
                "form": part.form,
                "allowed_l": decimal_text(part.allowed_l or Fraction(0)),
                "source": part.source,
            }
            for part in preset.parts
        ],
    }


def limits_save(
    person: Person, *, match: Match, raw: LimitsRaw, version: str
) -> tuple[LimitsRaw, LimitsRaw]:
    """Make the match's limits `raw`; gives what they were before, to undo with, and are now.

    `version` is that of the limits it was made from (`limits_version`). Raises Problem NOT_ALLOWED,
    CONFLICT (somebody changed them meanwhile; nothing was changed) and BadInput with every fault.
    """
    if not is_secretary(person, club=match.club):
        raise Problem(Code.NOT_ALLOWED, _("Only the club's secretary may change the limits."))
    with transaction.atomic():
        held = Match.objects.select_for_update(of=("self",)).select_related("club").get(pk=match.pk)
        before = limits_raw(held)
        if limits_version(before) != version:
            raise Problem(
                Code.CONFLICT,
                _("The limits were changed meanwhile. Look at the new ones, then save yours."),
            )
        baits = baits_of_club(held.club_id)
        _limits_check(raw, baits=baits)
        _limits_write(held, raw=raw, baits=baits)
        after = limits_raw(held)
        audit_record(
            club=held.club,
            person=person,
            verb="limits.saved",
            subject=f"match {held.pk}",
            detail={"before": before, "after": after},
        )
    return before, after


def limits_take_over(person: Person, *, match: Match, like: Match) -> None:
    """Give a match the limits of an earlier one of its club, whatever it had. Raises Problem."""
    if like.club_id != match.club_id:
        raise Problem(Code.NOT_FOUND, _("No such match in your clubs."))
    version = limits_version(limits_raw(match))
    limits_save(person, match=match, raw=limits_raw(like), version=version)


def _limits_check(raw: LimitsRaw, *, baits: Mapping[str, Bait]) -> None:
    reading = Reading()
    for key in ("groundbait_l", "bait_l"):
        if raw[key] != "":
            _litres_check(reading, raw[key], (key,), places=2, most=MOST_WHOLE_L)
    _words_check(reading, raw["source"], ("source",), most=200)
    parts = raw["parts"]
    if len(parts) > MOST_PARTS:
        reading.fault(("parts",), _("Use at most %(n)d limits.") % {"n": MOST_PARTS})
    for at, part in enumerate(parts[:MOST_PARTS]):
        _part_check(reading, part, ("parts", at), baits=baits)
    reading.note_repeats(
        ((part["name"].strip(), ("parts", at, "name")) for at, part in enumerate(parts)),
        message=_("Another limit has this name: give each its own."),
    )
    if reading.faults:
        raise BadInput(*reading.faults)


def _part_check(
    reading: Reading, part: dict[str, str], where: Where, *, baits: Mapping[str, Bait]
) -> None:
    if not part["name"].strip():
        reading.fault((*where, "name"), _("Give the limit a name, such as “Worms, uncut”."))
    _words_check(reading, part["name"], (*where, "name"), most=80)
    _words_check(reading, part["source"], (*where, "source"), most=200)
    _litres_check(reading, part["allowed_l"], (*where, "allowed_l"), places=3, most=MOST_PART_L)
    reading.read_word(part["counts"], (*where, "counts"), words=LimitCounts.values)
    reading.read_word(part["family"], (*where, "counts"), words=BaitFamily.values)
    reading.read_word(part["use"], (*where, "use"), words=LimitUse.values)
    reading.read_word(part["form"], (*where, "form"), words=LimitForm.values)
    if part["bait"] and part["bait"] not in baits:
        reading.fault((*where, "counts"), _("The club has no such bait any more: choose another."))


def _litres_check(reading: Reading, raw: str, where: Where, *, places: int, most: Fraction) -> None:
    value = decimal_read(raw)
    if value is None or value > most or (value * 10**places).denominator != 1:
        reading.fault(
            where,
            comma_words(
                raw,
                otherwise=_("Write litres such as 2.5: from 0, at most %(n)d places.")
                % {"n": places},
            ),
        )


def _words_check(reading: Reading, text: str, where: Where, *, most: int) -> None:
    if len(text) > most:
        reading.fault(where, _("Keep this to %(n)d characters.") % {"n": most})
    if not is_storable(text):
        reading.fault(where, _("Write plain words here."))


def _limits_write(match: Match, *, raw: LimitsRaw, baits: Mapping[str, Bait]) -> None:
    match.groundbait_limit_l = Decimal(raw["groundbait_l"]) if raw["groundbait_l"] else None
    match.bait_limit_l = Decimal(raw["bait_l"]) if raw["bait_l"] else None
    match.limits_source = raw["source"].strip()
    match.save(update_fields=["groundbait_limit_l", "bait_limit_l", "limits_source"])
    MatchLimit.objects.filter(match=match).delete()
    MatchLimit.objects.bulk_create(
        MatchLimit(
            match=match,
            position=position,
            name=part["name"].strip(),
            counts=part["counts"],
            family=part["family"],
            bait=baits[part["bait"]] if part["bait"] else None,
            use=part["use"],
            form=part["form"],
            allowed_l=Decimal(part["allowed_l"]),
            source=part["source"].strip(),
        )
        for position, part in enumerate(raw["parts"], 1)
    )


def _litres_text(value: Decimal | None) -> str:
    return "" if value is None else decimal_text(Fraction(str(value)))
