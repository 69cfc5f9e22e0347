"""What a number of a placement request may be, and reading one."""

from __future__ import annotations

from typing import Any, Final

from matches.reckon.reading import Reading, Where

from .water import COLDEST_C, WARMEST_C

#: From and to, in SI units: wider than any swim, narrow enough to reckon with.
RANGES: Final = {
    "depth_m": ("0.05", "20"),
    "depth_sd_m": ("0", "5"),
    "surface_speed_m_s": ("0.001", "5"),
    "surface_speed_sd_m_s": ("0", "2"),
    "profile_exponent": ("1", "20"),
    "water_temp_c": (str(COLDEST_C), str(WARMEST_C)),
    "rig_settles_m": ("-50", "100"),
    "fish_depth_m": ("0.05", "20"),
    "diameter_m": ("0.0001", "0.2"),
    "density_kg_m3": ("1", "20000"),
    "sink_speed_m_s": ("0.001", "5"),
    "sink_speed_sd_m_s": ("0", "2"),
    "throw_sd_m": ("0", "20"),
    "distance_m": ("0.1", "100"),
    "seconds": ("0.1", "3600"),
    "wind_m_s": ("-30", "30"),
    "line_m": ("0.5", "100"),
    "rod_m": ("1", "20"),
    "swim_m": ("1", "200"),
    "rise_m": ("-10", "10"),
}


def number_read(
    reading: Reading, body: dict[str, Any], key: str, where: Where, *, default: float
) -> float:
    """The number of that key, in its range; `default` where the key is left out."""
    if key not in body:
        return default
    return one_read(reading, body[key], (*where, key), name=key)


def one_read(reading: Reading, raw: object, where: Where, *, name: str) -> float:
    """One number, in the range of the key `name`."""
    least, most = RANGES[name]
    return float(reading.read_number(raw, where, least=least, most=most))
