"""Numbers that pages take from the code: `{{ value:bait.reckon.larder.KEEPS_DAYS }}`.

A name may be followed by keys, `…MIX_DEFAULTS[squeeze]`, and by what it is to be multiplied with,
`…PRIOR * 100`. What is not there ends the build: a page never says a number that the code lacks.
"""

from __future__ import annotations

import importlib
import re
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import Any

from matches.reckon.decimals import decimal_text

_PLACE = re.compile(r"\{\{ *value:([\w.]+)((?:\[\w+\])*)(?: *\* *(\d+))? *\}\}")


class NoValue(Exception):
    """A page asks for a value that the code has not."""


def values_filled(text: str, *, source: str) -> str:
    """The text with each place filled. Raises NoValue with the line."""

    def fill(match: re.Match[str]) -> str:
        line = text.count("\n", 0, match.start()) + 1
        try:
            return value_text(_found(*match.groups()))
        except (ImportError, AttributeError, KeyError, IndexError, TypeError) as error:
            raise NoValue(f"{source}:{line}: no such value: {match[0]} ({error})") from error

    filled = _PLACE.sub(fill, text)
    if "{{ value" in filled:
        line = filled[: filled.index("{{ value")].count("\n") + 1
        raise NoValue(f"{source}:{line}: this value is not written as values are")
    return filled


@cache
def _found(dotted: str, keys: str, times: str | None) -> Any:
    module, _, name = dotted.rpartition(".")
    value = getattr(importlib.import_module(module), name)
    for key in re.findall(r"\[(\w+)\]", keys):
        value = value[key] if isinstance(value, Mapping) else value[int(key)]
    return value * int(times) if times else value


def value_text(value: Any) -> str:
    """As people write it: exact decimals where there are any, lists with commas."""
    if isinstance(value, bool | str):
        return str(value)
    if isinstance(value, Fraction):
        return _fraction_text(value)
    if isinstance(value, float):
        return f"{value:.12g}"
    if isinstance(value, int):
        return f"{value:,}" if abs(value) >= 10_000 else str(value)
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {value_text(each)}" for key, each in value.items())
    if isinstance(value, tuple | list | frozenset | set):
        each = sorted(value) if isinstance(value, frozenset | set) else value
        return ", ".join(value_text(one) for one in each)
    raise TypeError(f"{type(value).__name__} is no value to show")


def _fraction_text(value: Fraction) -> str:
    try:
        return decimal_text(value)
    except ValueError:  # a third has no end
        return f"{value.numerator}/{value.denominator}"
