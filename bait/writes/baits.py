"""A club's baits: added, changed, deleted while nothing names them."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from django.db import transaction
from django.db.models import ProtectedError, RestrictedError
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bait.models import BAG, Bait, LarderLot, MixPart, Pack, StageFeed, Unit
from bait.reads.shop_named import (
    lots_of_bait,
    orders_naming_bait,
    plans_naming_bait,
    templates_naming_bait,
)
from bait.reads.shops import baits_listed, keeper_check
from bait.reckon.price_rows import unit_fits
from matches.models import Club, Person
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput, Fault
from matches.writes.audit import audit_record

from .shop_content import BaitContent
from .shops import club_locked, key_free

FACTS = ("name", "kind", "unit", "bulk_density_kg_per_l", "bag_amount", "family", "dead")


def bait_add(person: Person, *, club: Club, content: BaitContent) -> Bait:
    """A new bait. Raises Problem NOT_ALLOWED, BadInput for a name that is taken."""
    keeper_check(person, club_id=club.pk)
    with transaction.atomic():
        baits = list(Bait.objects.filter(club=club_locked(club)))
        _name_free(content.name, baits=baits, own=None)
        key = key_free(content.name, taken={bait.key for bait in baits}, otherwise="bait")
        bait = Bait.objects.create(club=club, key=key, **_values(content))
        _audit(person, bait, "bait.added")
    return bait


def bait_change(person: Person, *, bait: Bait, content: BaitContent) -> bool:
    """Its facts from now on; whether anything changed.

    Raises Problem NOT_ALLOWED, BadInput for a name that is taken, and for a unit, density or bag
    without which what is written of the bait could not be counted any more.
    """
    keeper_check(person, club_id=bait.club_id)
    with transaction.atomic():
        baits = list(Bait.objects.filter(club=club_locked(bait.club)))
        _name_free(content.name, baits=baits, own=bait.pk)
        kept = next((other for other in baits if other.pk == bait.pk), None)
        if kept is None:
            raise Problem(Code.NOT_FOUND, _("Somebody deleted the bait meanwhile."))
        values = _values(content)
        before = {name: getattr(kept, name) for name in FACTS}
        changed = {name for name in FACTS if before[name] != values[name]}
        for name in changed:
            setattr(kept, name, values[name])
        if changed & {"unit", "bulk_density_kg_per_l", "bag_amount"}:
            _countable_check(kept)
        if changed:
            Bait.objects.filter(pk=kept.pk).update(**values)
            detail = {name: [_plain(before[name]), _plain(values[name])] for name in changed}
            _audit(person, kept, "bait.changed", **detail)
    return bool(changed)


def bait_packs_retire(person: Person, *, bait: Bait) -> int:
    """Retire every pack of it, so that no order buys it; how many there were."""
    keeper_check(person, club_id=bait.club_id)
    with transaction.atomic():
        retired = Pack.objects.filter(bait=bait, retired=False).update(retired=True)
        if retired:
            _audit(person, bait, "bait.packs_retired", packs=retired)
    return retired


def bait_delete(person: Person, *, bait: Bait) -> None:
    """A bait that no order, plan, template or lot names, with its packs. Raises Problem CONFLICT
    for any other."""
    keeper_check(person, club_id=bait.club_id)
    with transaction.atomic():
        named = _namers(bait)
        if named:
            raise _named(bait, by=", ".join(named))
        try:
            bait.packs.all().delete()
            Bait.objects.filter(pk=bait.pk).delete()
        except (ProtectedError, RestrictedError) as error:
            raise _named(bait, by=_("something in the club’s books")) from error
        _audit(person, bait, "bait.deleted")


def _namers(bait: Bait) -> list[str]:
    """What names it, in words."""
    orders, plans = orders_naming_bait(bait), plans_naming_bait(bait)
    templates, lots = templates_naming_bait(bait), lots_of_bait(bait)
    words = (
        (plans, ngettext("%(n)d plan", "%(n)d plans", plans)),
        (orders, ngettext("%(n)d order", "%(n)d orders", orders)),
        (templates, ngettext("%(n)d template", "%(n)d templates", templates)),
        (lots, ngettext("%(n)d lot of a larder", "%(n)d lots of larders", lots)),
    )
    return [text % {"n": n} for n, text in words if n]


def _named(bait: Bait, *, by: str) -> Problem:
    return Problem(
        Code.CONFLICT,
        _(
            "%(bait)s is named by %(by)s, so it cannot be deleted. Retire its packs instead: no "
            "order buys it any more, and what is written stays readable."
        )
        % {"bait": bait.name, "by": by},
    )


def _countable_check(bait: Bait) -> None:
    """What is written of the bait must still be countable in its unit."""
    units = {
        unit
        for rows in (Pack, LarderLot, StageFeed, MixPart)
        for unit in rows.objects.filter(bait=bait).values_list("unit", flat=True)
    }
    if BAG in units and bait.bag_amount is None:
        raise BadInput(
            Fault("/bag", _("Plans count it in bags: say how much one bag is, in its unit."))
        )
    listed = baits_listed([bait])[0]
    wrong = sorted(u for u in units & set(Unit.values) if not unit_fits(u, bait=listed))
    if wrong:
        raise BadInput(
            Fault(
                "/unit",
                _(
                    "Packs, lots or plans of it are in %(units)s, which cannot be counted in this "
                    "unit: keep the unit, or say what a litre of it weighs."
                )
                % {"units": ", ".join(wrong)},
            )
        )


def _name_free(name: str, *, baits: Collection[Bait], own: int | None) -> None:
    """Also no other bait's key: a price list may name a bait by either."""
    for bait in baits:
        if bait.pk != own and name.casefold() in (bait.name.casefold(), bait.key.casefold()):
            raise BadInput(
                Fault("/name", _("A bait of the club is called that: use another name."))
            )


def _values(content: BaitContent) -> dict[str, Any]:
    return {name: getattr(content, name) for name in FACTS}


def _plain(value: Any) -> Any:
    """A value as JSON keeps it."""
    return value if value is None or isinstance(value, bool | str) else str(value)


def _audit(person: Person, bait: Bait, verb: str, **detail: Any) -> None:
    audit_record(
        club=bait.club, person=person, verb=verb, subject=f"bait {bait.key}", detail=detail
    )
