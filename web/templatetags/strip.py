"""What the marks of a river strip mean, in words."""

from __future__ import annotations

from collections.abc import Iterable

from django import template
from django.utils.translation import gettext as _

from web.river_strip import Strip

register = template.Library()


@register.simple_tag
def strip_legend(strips: Iterable[Strip]) -> list[str]:
    """One sentence for each mark that these strips have."""
    marks: set[str] = set().union(*(strip.marks for strip in strips))
    words = {
        "caught": _("Solid: weighed."),
        "best": _("In the float’s colour: the day’s heaviest."),
        "wait": _("Dashed: still to weigh."),
        "blank": _("A line: a blank."),
        "gone": _("A cross in the water: absent or disqualified."),
        "sits": _("A float: drawn, by whom the list says."),
        "out": _("Struck through: left out on the day."),
        "end": _("A ring: an end peg, with nobody on one side of it."),
        "lines": _("A flash: power lines are near."),
        "bed": _("Below: the bed, from the depths that are known."),
    }
    return [
        *(text for mark, text in words.items() if mark in marks),
        _("The water flows to the right."),
    ]
