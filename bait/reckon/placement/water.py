"""Fresh water at one atmosphere: how heavy it is, and how thick."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

COLDEST_C: Final = 0
WARMEST_C: Final = 30


@dataclass(frozen=True, slots=True)
class Water:
    """Density in kg/m³ and dynamic viscosity in Pa·s."""

    density: float
    viscosity: float


def water_at(celsius: float) -> Water:
    """Water at a temperature from 0 to 30 °C.

    Density after M. Tanaka and others, Metrologia 38 (2001) 301, equation 1; viscosity after IAPWS
    SR6-08(2011), equation 7 (both from memory, tested against the tables of IAPWS).
    """
    off = celsius - 3.983035
    density = 999.97495 * (1 - off**2 * (celsius + 301.797) / (522528.9 * (celsius + 69.34881)))
    heat = (celsius + 273.15) / 300
    micro = 280.68 * heat**-1.9 + 511.45 * heat**-7.7 + 61.131 * heat**-19.6 + 0.45903 * heat**-40
    return Water(density, micro * 1e-6)
