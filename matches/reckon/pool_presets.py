"""Pools as clubs commonly set them up: where a secretary starts.

Common practice, no source; the organiser's rule always wins, and everything of a preset is
editable afterwards.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

SOURCE: Final = "Common practice, no source."

#: The frame's percentages by number of entries: the first row whose number is not exceeded.
FRAMES: Final = (
    (7, (60, 40)),
    (19, (50, 30, 20)),
    (39, (40, 25, 15, 12, 8)),
    (None, (32, 20, 14, 11, 9, 8, 6)),
)
FIRST_THREE: Final = (50, 30, 20)


@dataclass(frozen=True, slots=True)
class PoolPreset:
    """`says` explains it in plain words. `frame` are percentages of the pool by place, None: by
    the number of entries. `sections_percent` of the pool is what the sections' prizes share, and
    the frame's percentages are of what is left beside it. `stake` in pence."""

    key: str
    name: str
    says: str
    stake: int
    frame: tuple[int, ...] | None = ()
    sections_percent: int = 0
    opt_in: bool = False
    won_by: Literal["weight", "biggest_fish"] = "weight"
    rest_to: str = "the club"


PRESETS: Final = (
    PoolPreset(
        "frame",
        "Frame",
        "Everybody is in. The best over all share the whole pool, more places the more are "
        "entered: half, 30 and 20 percent for the first three of a small match.",
        500,
        frame=None,
    ),
    PoolPreset(
        "frame-sections",
        "Frame and sections by default",
        "Everybody is in. The first three over all have 35, 21 and 14 percent, and the best of "
        "each section shares the rest. Who is in the frame passes the section’s prize to the next.",
        1000,
        frame=FIRST_THREE,
        sections_percent=30,
    ),
    PoolPreset(
        "sections",
        "Section winners",
        "Everybody is in. The best of each section wins the same.",
        500,
        sections_percent=100,
    ),
    PoolPreset(
        "super",
        "Super pool",
        "Only who chooses it is in, and plays against the others who did: half, 30 and 20 percent.",
        500,
        frame=FIRST_THREE,
        opt_in=True,
    ),
    PoolPreset(
        "biggest-fish",
        "Biggest fish",
        "Only who chooses it is in. The heaviest single fish the scales logged takes it all.",
        200,
        frame=(100,),
        opt_in=True,
        won_by="biggest_fish",
    ),
)
PRESETS_BY_KEY: Final = {preset.key: preset for preset in PRESETS}


def frame_percents(preset: PoolPreset, *, entries: int) -> tuple[str, ...]:
    """The percentages of a preset's places, as text, for so many entries."""
    frame = preset.frame
    if frame is None:
        frame = next(of for most, of in FRAMES if most is None or entries <= most)
    left = 100 - preset.sections_percent
    return tuple(_hundredths(percent * left) for percent in frame)


def section_pence(preset: PoolPreset, *, pool: int, sections: int) -> int:
    """What the best of each of `sections` gets of a pool in pence, rounded down to the penny."""
    return pool * preset.sections_percent // 100 // sections if sections else 0


def _hundredths(value: int) -> str:
    whole, rest = divmod(value, 100)
    return f"{whole}.{rest:02d}".rstrip("0").rstrip(".")
