"""What the placement calculator takes and gives, for the OpenAPI schema; its own parser decides."""

from __future__ import annotations

from bait.reckon.placement.parse import MOST_FEEDS, MOST_PARTICLES, MOST_TRIES, SHAPES
from bait.reckon.placement.parse_asks import HANDS, MOST_COMPARED
from bait.reckon.placement.ranges import RANGES
from bait.reckon.placement.tighten import WAYS

from .shapes import ID, NUMBER, Shape, list_of, number_of, object_of, one_of, or_null

_ABOUT = {
    "surface_speed_sd_m_s": "How well the speed is known.",
    "depth_sd_m": "How even the bed is.",
    "profile_exponent": "n of the flow u = U·(z/h)^(1/n), z up from the bed. Left out: 6.",
    "rig_settles_m": "Downstream of where the rig goes in.",
    "fish_depth_m": "Down from the surface, at most the depth. Left out: the bed.",
    "sink_speed_m_s": "As measured.",
    "sink_speed_sd_m_s": "How far single ones stray from it.",
    "throw_sd_m": "How far single throws stray along the river.",
    "wind_m_s": "Along the river, below zero upstream; it drags the surface along. Left out: 0.",
    "line_m": "Across, from the angler to the rig's line. The rig goes in straight across.",
    "rod_m": "What throws are told in lengths of.",
    "swim_m": "A feed must be at the fish's depth before it is carried so far.",
    "rise_m": "By how much the river rose, below zero fell: what that changes, as an estimate.",
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
_ANGLER = object_of({**_pick("line_m", "rod_m"), "flows_to": one_of(HANDS)})


def _some_of(name: str) -> Shape:
    return {**list_of(_NUMBERS[name]), "minItems": 1, "maxItems": MOST_COMPARED}


_COMPARE = object_of(
    {
        "loose": ID,
        "balls": ID,
        "surface_speeds_m_s": _some_of("surface_speed_m_s"),
        "depths_m": _some_of("depth_m"),
    },
    about="A loose feed against balls, by name, at each speed and depth. Needs swim_m.",
)
PLACEMENT_REQUEST = object_of(
    {
        **_pick("depth_m", "water_temp_c", "rig_settles_m"),
        "feeds": {**list_of(_FEED), "minItems": 1, "maxItems": MOST_FEEDS},
    },
    {
        **_pick("surface_speed_m_s", "surface_speed_sd_m_s"),
        "float_run": _timed("distance_m"),
        **_pick("depth_sd_m", "profile_exponent", "fish_depth_m", "wind_m_s"),
        "angler": _ANGLER,
        **_pick("swim_m", "rise_m"),
        "compare": _COMPARE,
        "tighten": {**ID, "description": "The feed to lay closer together. Needs particles."},
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
        "p10_m": NUMBER,
        "p90_m": NUMBER,
        "p95_m": NUMBER,
        "within_half_m": {**NUMBER, "description": "The part that lands so near to the rig."},
    },
    about="Downstream of where the rig goes in. Only with particles.",
)
_POINT = object_of(
    {
        "upstream_m": NUMBER,
        "across_m": NUMBER,
        "distance_m": NUMBER,
        "rods_upstream": NUMBER,
        "rods_across": NUMBER,
        "clock_h": {
            **NUMBER,
            "description": "Twelve is straight across, three along the bank to the right.",
        },
    },
    about="The throw as the angler sees it. Only with an angler.",
)
_FEED_PLACED = object_of(
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
    {
        "landing": _LANDING,
        "throw_point": _POINT,
        "reach_speed_m_s": {
            **or_null(NUMBER),
            "description": "Faster, and it is carried past the swim. Null: in no river.",
        },
    },
)
PLACEMENT_ANSWER = object_of(
    {"surface_speed_m_s": NUMBER, "feeds": list_of(_FEED_PLACED)},
    {
        "risen": object_of(
            {"depth_m": NUMBER, "surface_speed_m_s": NUMBER, "feeds": list_of(_FEED_PLACED)},
            about="An estimate, by Manning's formula for a wide channel: measure again.",
        ),
        "compare": list_of(
            object_of(
                {
                    "surface_speed_m_s": NUMBER,
                    "depth_m": NUMBER,
                    "loose_m": NUMBER,
                    "balls_m": NUMBER,
                    "use": one_of(("loose", "balls", "neither")),
                },
                about="How far each is carried, and which still gets there within the swim.",
            )
        ),
        "tighten": list_of(
            object_of(
                {
                    "way": one_of(WAYS),
                    "feed": {"type": "string", "description": "Empty: a ball of the usual kind."},
                    "landing": _LANDING,
                }
            )
        ),
    },
)
