"""Weights of fish: whole grams, or whole drams where the scales are in pounds.

16 dr = 1 oz and 16 oz = 1 lb avoirdupois, so 256 dr = 1 lb = 0.45359237 kg exactly
(UK Weights and Measures Act 1985, schedule 1). Weights are compared and added in the unit they
were taken in; conversion is for showing only.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Final, Literal

from .errors import BadInput, Fault
from .errors import pointer as pointer_to

WeightUnit = Literal["g", "dr"]

WEIGHT_UNITS: Final = ("g", "dr")
DRAMS_PER_OUNCE: Final = 16
DRAMS_PER_POUND: Final = 256
GRAMS_PER_DRAM: Final = Fraction(45_359_237, 100_000) / DRAMS_PER_POUND
"""Exactly 1.7718451953125."""
WEIGHT_MOST: Final[Mapping[WeightUnit, int]] = {"g": 1_000_000, "dr": 564_383}
"""A tonne in either unit: no angler's day. Above it a slip of the finger is certain."""
USUAL_MOST: Final[Mapping[WeightUnit, int]] = {"g": 22_680, "dr": 12_800}
"""50 lb: what most waters let a net count (common practice, no source)."""

_PARTS: Final[Mapping[WeightUnit, tuple[tuple[str, int], ...]]] = {
    "g": (("kg", 1000), ("g", 1)),
    "dr": (("lb", DRAMS_PER_POUND), ("oz", DRAMS_PER_OUNCE), ("dr", 1)),
}


def weight_from_parts(parts: Mapping[str, object], *, unit: WeightUnit, pointer: str = "") -> int:
    """The weight in `unit` that was keyed in as kg and g, or as lb, oz and dr.

    A part is a whole number or its digits as text; one left out or empty counts as 0, but not
    all of them: a blank is keyed in as 0. Only the largest part that was given may run on past
    its unit (1450 g with kg left empty; 20 oz with lb left empty).
    Raises BadInput, under `pointer`, listing every part that is wrong.
    """
    known = _PARTS[unit]
    names = ", ".join(name for name, _ in known)
    faults = [
        Fault(pointer + pointer_to(key), f"Give the weight in {names} only.")
        for key in parts
        if key not in dict(known)
    ]
    given = [name for name, _ in known if parts.get(name) not in (None, "")]
    if not given:
        faults.append(Fault(pointer, f"Key in a weight ({names}); a blank is 0."))
    total = 0
    larger = 0
    for name, size in known:
        most = WEIGHT_MOST[unit] // size if name in given[:1] else larger // size - 1
        larger = size
        value = _part_read(parts[name]) if name in given else 0
        if value is None or (name in given and value > most):
            faults.append(Fault(pointer + pointer_to(name), f"Key in 0 to {most} {name}."))
        else:
            total += value * size
    if not faults and total > WEIGHT_MOST[unit]:
        most_text = weight_text(WEIGHT_MOST[unit], unit=unit)
        faults.append(Fault(pointer, f"Key in at most {most_text}."))
    if faults:
        raise BadInput(*faults)
    return total


def _part_read(raw: object) -> int | None:
    if isinstance(raw, str) and raw.isascii() and raw.isdigit() and len(raw) <= 9:
        return int(raw)
    return raw if isinstance(raw, int) and not isinstance(raw, bool) and raw >= 0 else None


def weight_text(weight: int, *, unit: WeightUnit) -> str:
    """`weight` as it is said at the scales: "12.450 kg", or "27 lb 6 oz 8 dr".

    Raises ValueError for a weight below zero.
    """
    if weight < 0:
        raise ValueError("a weight is never below zero")
    if unit == "g":
        return f"{weight // 1000}.{weight % 1000:03d} kg"
    pounds, rest = divmod(weight, DRAMS_PER_POUND)
    ounces, drams = divmod(rest, DRAMS_PER_OUNCE)
    return f"{pounds} lb {ounces} oz {drams} dr"


def weight_in(weight: int, *, unit: WeightUnit, other: WeightUnit) -> Fraction:
    """`weight`, taken in `unit`, in the `other` unit exactly. For showing, never for placing."""
    if unit == other:
        return Fraction(weight)
    return weight / GRAMS_PER_DRAM if unit == "g" else weight * GRAMS_PER_DRAM


def weight_unusual(weight: int, *, unit: WeightUnit, others: Iterable[int] = ()) -> bool:
    """Whether a net's weight is worth asking about: above what most waters let a net count, or
    more than three times the heaviest of at least three `others` with fish. It is asked about,
    never refused."""
    known = [other for other in others if other]
    if weight > USUAL_MOST[unit]:
        return True
    return len(known) >= 3 and weight > 3 * max(known)
