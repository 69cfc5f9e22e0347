"""How the kitty is said on a page; nothing is decided here."""

from __future__ import annotations

from collections.abc import Mapping

from django import template

from matches.reckon.money import pence_format

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
