"""A weight as a club's book has it, in whichever notation."""

from __future__ import annotations

import re
from typing import Final

from matches.reckon.errors import BadInput
from matches.reckon.weights import WeightUnit, weight_from_parts

#: What stands where nothing was weighed (common practice, no source).
NOT_WEIGHED: Final = ("", "-", "–", "dnw", "did not weigh", "dnf", "absent")
_KG: Final = re.compile(r"([0-9]{1,4})(?:[.,]([0-9]{1,3}))? ?(?:kg|kgs|kilos?)\.?")
_KG_G: Final = re.compile(r"([0-9]{1,4}) ?kgs? ?([0-9]{1,3}) ?g")
_G: Final = re.compile(r"([0-9]{1,7}) ?(?:g|gr|grams?)\.?")
_LB: Final = re.compile(
    r"(?:([0-9]{1,4}) ?lbs?\.?)?,? ?(?:([0-9]{1,4}) ?oz\.?)?,? ?(?:([0-9]{1,4}) ?drs?\.?)?"
)
#: Pounds, ounces and drams with dashes between (common practice, no source).
_DASHES: Final = re.compile(r"([0-9]{1,4})[-–]([0-9]{1,2})(?:[-–]([0-9]{1,2}))?")
_FORMS: Final[tuple[tuple[re.Pattern[str], WeightUnit, tuple[str, ...] | None], ...]] = (
    (_KG, "g", None),
    (_KG_G, "g", ("kg", "g")),
    (_G, "g", ("g",)),
    (_DASHES, "dr", ("lb", "oz", "dr")),
    (_LB, "dr", ("lb", "oz", "dr")),
)
"""Each form, the unit it is in, and what its groups are; None: kilograms and their decimals."""


def weight_typed(text: str) -> tuple[int, WeightUnit | None] | None:
    """The weight and its unit: "12.450 kg", "12 kg 450 g", "850 g", "27 lb 6 oz 8 dr", "27-6-8",
    or a plain 0, which is nothing in every unit (None beside it). None for anything else."""
    plain = " ".join(text.casefold().split())
    if re.fullmatch(r"0+(?:[.,]0+)?", plain):
        return 0, None
    for pattern, unit, names in _FORMS:
        found = pattern.fullmatch(plain)
        if found and any(found.groups()):
            groups = found.groups() if names else (found[1], (found[2] or "").ljust(3, "0"))
            parts = dict(zip(names or ("kg", "g"), groups, strict=True))
            return _weight(parts, unit)
    return None


def _weight(parts: dict[str, str | None], unit: WeightUnit) -> tuple[int, WeightUnit] | None:
    try:
        return weight_from_parts(parts, unit=unit), unit
    except BadInput:
        return None
