"""A slow cold river: hemp, casters and balls, for the API's description."""

from __future__ import annotations

from typing import Any, Final

PLACEMENT_EXAMPLE: Final[dict[str, Any]] = {
    "depth_m": 2.4,
    "surface_speed_m_s": 0.35,
    "profile_exponent": 6,
    "water_temp_c": 9.0,
    "rig_settles_m": 3.0,
    "fish_depth_m": 2.4,
    "feeds": [
        {"name": "hemp", "diameter_m": 0.0032, "density_kg_m3": 1120, "shape": "sphere"},
        {
            "name": "caster",
            "sink_speed_m_s": 0.045,
            "sink_speed_sd_m_s": 0.006,
            "throw_sd_m": 0.25,
        },
        {"name": "balls", "diameter_m": 0.08, "density_kg_m3": 1500, "shape": "ball"},
    ],
    "particles": 0,
    "seed": 1,
}

PLACEMENT_EXAMPLE_ANSWER: Final[dict[str, Any]] = {
    "surface_speed_m_s": 0.35,
    "feeds": [
        {
            "name": "hemp",
            "sink_speed_m_s": 0.07775228937832744,
            "sink_s": 30.867258304409134,
            "drift_m": 9.260177491322741,
            "throw_m": -6.260177491322741,
        },
        {
            "name": "caster",
            "sink_speed_m_s": 0.045,
            "sink_s": 53.333333333333336,
            "drift_m": 16.0,
            "throw_m": -13.0,
        },
        {
            "name": "balls",
            "sink_speed_m_s": 1.090621717633414,
            "sink_s": 2.519374092188224,
            "drift_m": 0.5906915696526407,
            "throw_m": 2.4093084303473593,
        },
    ],
}
