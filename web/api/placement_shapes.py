"""What the placement calculator takes and gives, for the OpenAPI schema; its own parser decides."""

from __future__ import annotations

from bait.reckon.placement.parse import MOST_FEEDS, MOST_PARTICLES, MOST_TRIES, RANGES, SHAPES

from .shapes import ID, NUMBER, Shape, list_of, number_of, object_of, one_of

_ABOUT = {
    "surface_speed_sd_m_s": "How well the speed is known.",
    "depth_sd_m": "How even the bed is.",
    "profile_exponent": "n of the flow u = U·(z/h)^(1/n), z up from the bed. Left out: 6.",
    "rig_settles_m": "Downstream of where the rig goes in.",
    "fish_depth_m": "Down from the surface, at most the depth. Left out: the bed.",
    "sink_speed_m_s": "As measured.",
    "sink_speed_sd_m_s": "How far single ones stray from it.",
    "throw_sd_m": "How far single throws stray along the river.",
}
_NUMBERS = {name: number_of(*RANGES[name], about=_ABOUT.get(name, "")) for name in RANGES}


def _pick(*names: str) -> dict[str, Shape]:
    return {name: _NUMBERS[name] for name in names}


def _timed(way: str) -> Shape:
    seconds = _NUMBERS["seconds"]
    tries = {**list_of(seconds), "minItems": 1, "maxItems": MOST_TRIES}
    return object_of({**_pick(way), "seconds": {"oneOf": [seconds, tries]}})


_FEED = object_of(
    {"name": ID},
    {
        "shape": {
            **one_of(SHAPES),
            "description": "With diameter and density. A ball gathers speed as it falls.",
        },
        **_pick("diameter_m", "density_kg_m3", "sink_speed_m_s", "sink_speed_sd_m_s"),
        "jar_test": _timed("depth_m"),
        **_pick("throw_sd_m"),
    },
    about="It sinks in one of three ways: a shape, a sink_speed_m_s or a jar_test.",
)
PLACEMENT_REQUEST = object_of(
    {
        **_pick("depth_m", "water_temp_c", "rig_settles_m"),
        "feeds": {**list_of(_FEED), "minItems": 1, "maxItems": MOST_FEEDS},
    },
    {
        **_pick("surface_speed_m_s", "surface_speed_sd_m_s"),
        "float_run": _timed("distance_m"),
        **_pick("depth_sd_m", "profile_exponent", "fish_depth_m"),
        "particles": {
            "type": "integer",
            "minimum": 0,
            "maximum": MOST_PARTICLES,
            "description": "How many of each feed fall by chance, for its landing.",
        },
        "seed": {"type": "integer", "minimum": 0, "maximum": 2**32 - 1},
    },
    about="The water's speed is a surface_speed_m_s or a float_run.",
)
_LANDING = object_of(
    {
        "mean_m": NUMBER,
        "sd_m": NUMBER,
        "p5_m": NUMBER,
        "p95_m": NUMBER,
        "within_half_m": {**NUMBER, "description": "The part that lands so near to the rig."},
    },
    about="Downstream of where the rig goes in. Only with particles.",
)
PLACEMENT_ANSWER = object_of(
    {
        "surface_speed_m_s": NUMBER,
        "feeds": list_of(
            object_of(
                {
                    "name": ID,
                    "sink_speed_m_s": NUMBER,
                    "sink_s": NUMBER,
                    "drift_m": NUMBER,
                    "throw_m": {
                        **NUMBER,
                        "description": "Downstream of where the rig goes in; below zero upstream.",
                    },
                },
                {"landing": _LANDING},
            )
        ),
    }
)
