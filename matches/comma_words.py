"""Why a number with a comma was not read, in words for who typed it."""

from __future__ import annotations

import re
from typing import Final

from django.utils.translation import gettext as _

#: Three digits after the only comma: thousands to some, a decimal to others.
_UNCLEAR: Final = re.compile(r"([1-9][0-9]{0,8}),([0-9]{3})", re.ASCII)


def comma_words(text: str, *, otherwise: str) -> str:
    """What to write instead of "1,250"; `otherwise` for text that is wrong in another way."""
    found = _UNCLEAR.fullmatch(text.strip().strip("£€").strip())
    if not found:
        return otherwise
    whole, parts = found.groups()
    least = f"{whole}.{parts}".rstrip("0").rstrip(".")
    return _("“%(typed)s” may be %(least)s or %(most)s: write one of the two.") % {
        "typed": found[0],
        "least": least,
        "most": whole + parts,
    }
