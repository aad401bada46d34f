"""The grower's routine as the hourly kernel sees it: floats and arrays."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

Array = np.ndarray


class Calendar(NamedTuple):
    """When somebody can tend the fire, hour by hour: float64 arrays of shape (hours,)."""

    chance: Array
    """1.0 where the grower is at home, awake, and would look in."""
    asleep: Array
    """1.0 where the grower is at home and asleep."""
    away: Array
    """1.0 where the grower is away (at work or on a trip)."""
    gap_h: Array
    """Hours from this one to the next chance (1.0 if the next hour is one)."""
    night: Array
    """Number of the night that the hour belongs to (a night is one stretch of sleep), else −1."""
    power: Array
    """1.0 where there is mains power."""
    month: Array
    """Months since the season's first, as a float."""


class Habits(NamedTuple):
    """How the grower tends: floats."""

    gets_up_below: float
    """Air temperature at which an alarm gets the grower up, °C; −1000 for never."""
    load_for_h: float
    """Hours that a daytime load should last."""
    margin: float
    """Fuel loaded for each unit that the forecast asks for."""
    rest_h: float
    """Hours between two night visits, at least."""
    stays_by_h: float
    """Hours a day that somebody stays by a fire which must be watched, at most."""
