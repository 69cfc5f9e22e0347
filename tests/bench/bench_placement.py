"""100,000 straying particles of one feed against scipy's solve_ivp, one particle at a time; and how
fast a ball sinks against the handbook's formula as `fluids` has it."""

from __future__ import annotations

from functools import partial
from statistics import median
from typing import Any

from scipy.integrate import solve_ivp

from bait.reckon.placement import Body, placement_parse, placement_work_out, water_at
from bait.reckon.placement.flow import flow_at
from bait.reckon.placement.sinking import sink_speed
from tests.bench.parts import part, run
from tests.bench.rows import QUICK, Row, in_turn, tell

PARTICLES, ROUNDS, SOLVED = 100_000, 5 if QUICK else 15, 20
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


def main() -> None:
    with part("where feed lands"):
        landing()
    try:
        import fluids
    except ImportError:
        tell(Row("sinking of a ball", "one", said="not measured: `fluids` is not installed"))
    else:
        with part("how fast it sinks"):
            sinking(fluids)


def landing() -> None:
    asked = placement_parse({**ASKED, "particles": PARTICLES})
    sinks = [0.03 + 0.03 * n / SOLVED for n in range(SOLVED)]
    theirs: list[float] = []

    def solve() -> None:
        theirs[:] = [solved_drift(sink) for sink in sinks]

    turns = in_turn(partial(placement_work_out, asked), solve, rounds=ROUNDS)
    turns.theirs = [seconds * PARTICLES / SOLVED for seconds in turns.theirs]
    exact = [SPEED * DEPTH * EXPONENT / (EXPONENT + 1) / sink for sink in sinks]
    apart = max(abs(a / b - 1) for a, b in zip(theirs, exact, strict=True))
    size = f"{PARTICLES:,} particles"
    each = median(turns.theirs) / PARTICLES * 1e3
    tell(
        turns.row(
            "where feed lands",
            size,
            reference="solve_ivp, one by one",
            aims=("placement-time", "placement-ivp"),
            said=f"{each:.2f} ms a particle there, from {SOLVED} of them",
        )
    )
    tell(
        Row(
            "apart from solve_ivp",
            f"{SOLVED} sinking speeds",
            ours=apart,
            unit="of the drift",
            aims=("placement-near",),
        )
    )


def sinking(fluids: Any) -> None:
    """A grain's and a ball's terminal velocity, ours from the drag balance."""
    water = water_at(9.0)
    for words, diameter, density in (("caster, 4 mm", 0.004, 1_050), ("ball, 60 mm", 0.06, 1_400)):
        body = Body("sphere", diameter, density)
        theirs = partial(
            fluids.v_terminal, D=diameter, rhop=density, rho=water.density, mu=water.viscosity
        )
        ours = partial(sink_speed, body, water)
        turns = in_turn(ours, theirs, rounds=10 * ROUNDS)
        said = f"the speeds are apart by {abs(ours() / theirs() - 1):.1%}"
        tell(turns.row("how fast it sinks", words, reference="fluids.v_terminal", said=said))


if __name__ == "__main__":
    run(main)
