"""100,000 straying particles of one feed, against scipy's solve_ivp one particle at a time.

Run it with: python tests/bench/bench_placement.py
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import median
from time import perf_counter

from scipy.integrate import solve_ivp

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from bait.reckon.placement import placement_parse, placement_work_out
from bait.reckon.placement.flow import flow_at

PARTICLES, ROUNDS, SOLVED = 100_000, 15, 50
AIM_MS, AIM_RATIO, AIM_NEAR = 50.0, 10_000.0, 1e-3
DEPTH, SPEED, EXPONENT = 2.4, 0.35, 6.0
ASKED = {
    "depth_m": DEPTH,
    "surface_speed_m_s": SPEED,
    "surface_speed_sd_m_s": 0.03,
    "depth_sd_m": 0.1,
    "profile_exponent": EXPONENT,
    "water_temp_c": 9.0,
    "rig_settles_m": 3.0,
    "feeds": [
        {"name": "caster", "sink_speed_m_s": 0.045, "sink_speed_sd_m_s": 0.006, "throw_sd_m": 0.25}
    ],
    "seed": 1,
}


def at_the_bed(_t: float, at: tuple[float, float]) -> float:
    return at[1]


at_the_bed.terminal = True  # type: ignore[attr-defined]


def solved_drift(sink: float) -> float:
    """The reference: one particle that moves with the water and falls until it meets the bed."""
    solved = solve_ivp(
        lambda _t, at: [flow_at(at[1], depth_m=DEPTH, speed=SPEED, exponent=EXPONENT), -sink],
        (0, 2 * DEPTH / sink),
        [0.0, DEPTH],
        events=at_the_bed,
        rtol=1e-6,
        atol=1e-8,
    )
    return float(solved.y_events[0][0][0])


def main() -> int:
    asked = placement_parse({**ASKED, "particles": PARTICLES})
    ours = []
    for _ in range(ROUNDS):
        start = perf_counter()
        placement_work_out(asked)
        ours.append(perf_counter() - start)
    sinks = [0.03 + 0.03 * n / SOLVED for n in range(SOLVED)]
    start = perf_counter()
    theirs = [solved_drift(sink) for sink in sinks]
    one = (perf_counter() - start) / SOLVED
    exact = [SPEED * DEPTH * EXPONENT / (EXPONENT + 1) / sink for sink in sinks]
    apart = max(abs(a / b - 1) for a, b in zip(theirs, exact, strict=True))
    taken = median(ours)
    ratio = one * PARTICLES / taken
    print(
        f"placement: {PARTICLES} particles, median of {ROUNDS}: {taken * 1e3:.1f} ms (aim at most "
        f"{AIM_MS:.0f}); solve_ivp {one * 1e3:.2f} ms each, so {ratio:,.0f} times as fast (aim at "
        f"least {AIM_RATIO:,.0f}); drift apart by at most {apart:.1e} (aim {AIM_NEAR:.0e})"
    )
    return 0 if ratio >= AIM_RATIO and taken * 1e3 <= AIM_MS and apart <= AIM_NEAR else 1


if __name__ == "__main__":
    sys.exit(main())
