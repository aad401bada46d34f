"""Water vapour that the outdoor air brings in, hour by hour."""

from __future__ import annotations

from typing import Any

import numpy as np

from greenhouse_sim.greenhouse.leak import INDOOR_K
from greenhouse_sim.greenhouse.part import Shell
from greenhouse_sim.greenhouse.shape import shell
from greenhouse_sim.greenhouse.vapour import build_vapour, vapour_number
from greenhouse_sim.greenhouse.vapour_numbers import VAPOUR_J_KGK, Moisture
from greenhouse_sim.weather.limits import number

Array = np.ndarray


def make_moisture(
    scenario: Any, weather: Any, outdoor: Array | None = None, walls: Shell | None = None
) -> Moisture:
    """The vapour of a scenario's greenhouse in this weather.

    ``outdoor`` is the weather's `outdoor_vapour`, ``walls`` the greenhouse's shape, where they have
    been worked out before.
    """
    walls = walls or shell(scenario, weather.latitude)
    given = scenario.site.elevation
    height = float(given if given is not None else weather.elevation_m or 0.0)
    known = outdoor_vapour(weather) if outdoor is None else outdoor
    return Moisture(build_vapour(scenario, walls, height), known)


def outdoor_vapour(weather: Any) -> Array:
    """Absolute humidity of the outdoor air once warmed to indoor density, kg/m³, (hours,).

    The dew point alone gives the vapour pressure, whatever the air pressure. Air that comes in
    expands as it warms, its vapour with it: so the density is taken at the temperature at
    which indoor air flows are counted (`leak.INDOOR_K`), not at the outdoor one.
    """
    dew = weather.t_dew_C
    pressure = np.exp(number("magnus_a") * dew / (number("magnus_b") + dew))
    return np.asarray(vapour_number("magnus_pa") * pressure / (VAPOUR_J_KGK * INDOOR_K))
