"""The options of a long list that stands on a page many times: each made once."""

from __future__ import annotations

from collections.abc import Iterable

from django import template
from django.utils.html import format_html, format_html_join

register = template.Library()


class Options:
    """The choices of one list as (value, words), the same for every row of a page."""

    def __init__(self, choices: Iterable[tuple[str, str]]) -> None:
        self._choices = tuple(choices)
        self._made: dict[str, str] = {}

    def chosen(self, value: str) -> str:
        """The options as escaped HTML, the one of that value selected."""
        if value not in self._made:
            self._made[value] = format_html_join(
                "", "{}", ((_option(key, words, value),) for key, words in self._choices)
            )
        return self._made[value]


def _option(key: str, words: str, value: str) -> str:
    if key == value:
        return format_html('<option value="{}" selected>{}</option>', key, words)
    return format_html('<option value="{}">{}</option>', key, words)


@register.filter
def chosen(options: Options, value: str) -> str:
    """The list's options with the one of `value` selected."""
    return options.chosen(value)
