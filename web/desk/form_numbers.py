"""Numbers and keys as a form sends them back."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from typing import Final

from django.utils.translation import gettext as _

from matches.comma_words import comma_words
from matches.problems import Code, Problem, bad_field
from matches.reckon.decimals import digits_read
from matches.reckon.errors import BadInput
from matches.reckon.money import money_typed

WHOLE_MOST: Final = 999_999_999


def whole_typed(text: str) -> int | None:
    """A whole number from 0 up as somebody typed it; None for anything else."""
    return digits_read(text.strip(), most=WHOLE_MOST)


def number_or_none(text: str) -> int | None:
    """The number chosen of a list, None for the choice of none. Raises Problem BAD_INPUT."""
    if not text:
        return None
    number = whole_typed(text)
    if number is None:
        raise Problem(Code.BAD_INPUT, _("Choose from the list: load the page again."))
    return number


def numbers(texts: Iterable[str]) -> list[int]:
    """The numbers ticked in a list. Raises Problem BAD_INPUT."""
    return [n for text in texts if (n := number_or_none(text)) is not None]


def pence_typed(text: str) -> int:
    """Pence of money typed beside a button: "£12.40", "12,40", "12". Raises Problem BAD_INPUT."""
    try:
        return money_typed(text)
    except BadInput:
        words = _("Write an amount above zero, such as 12.40.")
        raise bad_field("/amount", comma_words(text, otherwise=words)) from None


def key_read(text: str) -> uuid.UUID:
    """The key a page was made with. Raises Problem BAD_INPUT."""
    try:
        return uuid.UUID(text)
    except ValueError:
        raise Problem(Code.BAD_INPUT, _("Load the page again, then repeat it.")) from None
