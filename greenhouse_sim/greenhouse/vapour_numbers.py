"""KERNEL: water vapour in the greenhouse as the hourly loop sees it: SI floats."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

LATENT_J_KG = 2.45e6
"""Heat of evaporation at 20 °C (FAO Irrigation and Drainage Paper 56); 2 % more at 0 °C."""
VAPOUR_J_KGK = 461.5
"""Gas constant of water vapour."""
KELVIN = 273.15


class Vapour(NamedTuple):
    """What decides the humidity indoors and does not change through the winter."""

    volume_m3: float
    """Air inside, m³; 0 where vapour is not followed (test boxes)."""
    moist_m3_s: float
    """Vapour conductance of leaves and moist soil to the air, m³/s."""
    sun_scale: float
    sun_half: float
    """Sun's vapour is sun_scale·ε/(ε + sun_half) of what it is at the reference temperature."""
    cover_m3_s: float
    """Vapour conductance of the air to the covers, m³/s."""
    cover_drop: float
    """Inner film's fall of temperature for each watt lost through the shell, K/W."""
    film_warms: float
    """Heat of condensation over the inner film, λ·k/h, m³K/kg."""
    air_heat: float
    """Heat capacity of a cubic metre of indoor air, J/m³K."""
    vent_w_k: float
    """Most that open vents carry, W/K."""
    near_saturation: float
    """Relative humidity from which grey mould is at risk, 0 to 1."""
    start_chi: float
    """Absolute humidity at the start of the season, kg/m³."""
    magnus_pa: float
    """Saturation pressure at 0 °C, Pa."""
    magnus_a: float
    magnus_b: float
    """Of e = magnus_pa·exp(magnus_a·t/(magnus_b + t)), the second in °C."""


class Moisture(NamedTuple):
    """What decides the vapour of a greenhouse in a winter."""

    vapour: Vapour
    outdoor: np.ndarray
    """float64, shape (hours,): outdoor absolute humidity at indoor density, kg/m³."""
