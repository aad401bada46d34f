"""A stretch of the season without crop: the house is held lower, or not at all."""

from __future__ import annotations

from typing import Any

import numpy as np

from greenhouse_sim.weather.month_day import within

Array = np.ndarray
NO_HEAT_C = -60.0
"""A setpoint that no house falls under: nothing is asked of the heater."""


def lowered(setpoint_C: Array, resting: Array, held_C: float | None) -> Array:
    """Setpoints with those hours held at ``held_C`` (or less, where the setpoint is), or not at
    all where it is None, °C.

    The first hour of a season keeps its setpoint: that is how warm the house is when it starts.
    """
    low = NO_HEAT_C if held_C is None else held_C
    wanted = np.where(resting, np.minimum(setpoint_C, low), setpoint_C)
    wanted[0] = setpoint_C[0]
    return wanted


def rested(crop: Any, weather: Any, setpoint_C: Array) -> Array:
    """The setpoints with the crop's rest in them, °C."""
    rest = getattr(crop, "rest", None)
    if rest is None:
        return setpoint_C
    first, last = rest
    resting = within(first, last, weather.start, len(setpoint_C))
    return lowered(setpoint_C, resting, crop.rest_setpoint)
