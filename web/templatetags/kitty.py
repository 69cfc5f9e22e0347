"""How the kitty is said on a page; nothing is decided here."""

from __future__ import annotations

from collections.abc import Mapping

from django import template
from django.utils.translation import gettext as _

from bait.reads.bags import BagItem, SourceShown
from matches.reckon.money import pence_format

from .money import amount, unit_of

register = template.Library()


@register.filter
def plain_money(pence: int) -> str:
    """Pence as a field is filled with them: "12.40"."""
    return pence_format(pence)


@register.filter
def positive(pence: int) -> int:
    """Without its sign, where the words say which way it goes."""
    return abs(pence)


@register.filter
def at(found: Mapping[int, int | None], key: int) -> int | None:
    """What stands at the key, None where nothing does."""
    return found.get(key)


@register.filter
def from_where(source: SourceShown) -> str:
    """The shop a pack is from, or the lot of the larder."""
    if source.line is not None:
        return source.line.line.pack.shop.name
    if source.lot is None:
        return ""
    return _("larder, %(state)s, lot %(n)d") % {
        "state": source.lot.get_state_display(),
        "n": source.lot.pk,
    }


@register.filter
def out_of(item: BagItem) -> str:
    """How a thing of a bag comes together: "2 × 1 pint + 0.5 pints of an opened pack, …"."""
    source, parts = item.source, []
    if source.line is not None:
        if item.whole:
            size = f"{amount(source.amount)} {unit_of(source.unit, source.amount)}"
            parts.append(f"{item.whole} × {size}")
        if item.part:
            words = {"amount": amount(item.part), "unit": unit_of(source.unit, item.part)}
            parts.append(_("%(amount)s %(unit)s of an opened pack") % words)
    named = from_where(source)
    return f"{' + '.join(parts)}, {named}" if parts else named
