"""Air that leaks in and out: infiltration after Sherman and Grimsrud (1980).

Two causes make the pressure that drives air through cracks, wind and the stack of
warm air, and their flows add as squares: Q² = A² (Cs·|ΔT| + Cw·v²). A tightness row
gives the flow at a reference (4 m/s, 25 K, open country), which sets the crack area A:

    (Q / Q_ref)² = (Cs·|ΔT| + Cw·v²) / (Cs·ΔT_ref + Cw_open·v_ref²)

The wind v is the weather station's (10 m up, open country); shelter is in Cw.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from greenhouse_sim.greenhouse.fitted import fitted
from greenhouse_sim.greenhouse.numbers import Array
from greenhouse_sim.greenhouse.part import Shell
from greenhouse_sim.greenhouse.table import envelope, named_row

DRY_AIR_J_KGK = 287.05
HEAT_OF_AIR_J_KGK = 1006.0
INDOOR_K = 288.15
"""Temperature at which the indoor air's density is taken, K."""


def air_heat(elevation_m: float) -> float:
    """Heat capacity of a cubic metre of indoor air (15 °C) at this elevation, J/m³K.

    Pressure by the standard atmosphere, p = 101325 (1 - 2.25577e-5 z)^5.2559 Pa.
    """
    pressure = 101325.0 * (1.0 - 2.25577e-5 * elevation_m) ** 5.2559
    return float(pressure / (DRY_AIR_J_KGK * INDOOR_K) * HEAT_OF_AIR_J_KGK)


def leak(house: Any, shell: Shell, elevation_m: float) -> tuple[float, float]:
    """Infiltration at the reference (W/K) and its stack coefficient (1/K), for `House`."""
    heat = air_heat(elevation_m) * shell.volume_m3 * fitted(house, "leak")
    if house.air_changes is not None:
        return heat * house.air_changes, 0.0
    row = named_row("tightness", house.tightness, "[greenhouse] tightness")
    return heat * float(row["air_changes_h"]) / 3600.0, envelope("leak_stack") / _reference()


def leak_wind(house: Any, terrain: str, wind_m_s: Array) -> Array:
    """Wind part of (leak ratio)² for `Drive`; 1 for a fixed rate of air changes."""
    if house.air_changes is not None:
        return np.ones_like(wind_m_s)
    shelter = float(named_row("terrain", terrain, "[site] terrain")["leak_wind"])
    return shelter * wind_m_s * wind_m_s / _reference()


def _reference() -> float:
    open_country = float(named_row("terrain", "open", "[site] terrain")["leak_wind"])
    wind = envelope("leak_reference_wind")
    stack = envelope("leak_stack") * envelope("leak_reference_dt")
    return stack + open_country * wind * wind
