"""Numbers that a form's own lists send back."""

from __future__ import annotations

import uuid
from collections.abc import Iterable

from django.utils.translation import gettext as _

from matches.problems import Code, Problem

KEY_MOST = 999_999_999


def number_or_none(text: str) -> int | None:
    """The number chosen of a list, None for the choice of none. Raises Problem BAD_INPUT."""
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise Problem(Code.BAD_INPUT, _("Choose from the list: load the page again."))
    return int(text)


def numbers(texts: Iterable[str]) -> list[int]:
    """The numbers ticked in a list. Raises Problem BAD_INPUT."""
    return [n for text in texts if (n := number_or_none(text)) is not None]


def whole_read(text: str, *, least: int, most: int) -> int | None:
    """The whole number written in digits, None for anything else or beyond the two."""
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        return None
    return int(text) if least <= int(text) <= most else None


def key_read(text: str) -> uuid.UUID:
    """The key a page was made with. Raises Problem BAD_INPUT."""
    try:
        return uuid.UUID(text)
    except ValueError:
        raise Problem(Code.BAD_INPUT, _("Load the page again, then repeat it.")) from None
