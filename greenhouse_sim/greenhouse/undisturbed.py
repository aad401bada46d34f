"""The temperature of ground that no house stands on, from the weather alone.

After Kusuda and Achenbach (1965): the year's wave of the air enters the ground as

    T(z, t) = Tm - A exp(-z/d) cos(2π (t - t0)/P - z/d),    d = √(α P/π)

with the year's mean Tm, its half swing A, the day of the coldest air t0, and the damping depth d
of soil of diffusivity α: at depth d the swing is e times smaller and comes P/2π (58 days)
later. The wave of the surface is taken to be that of the air; snow and sun make real ground
1 or 2 K warmer, and that is left out.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np

from greenhouse_sim.greenhouse.table import soil

Array = np.ndarray
YEAR_DAYS = 365.25
DAY_S = 86400.0
WHOLE_YEAR_DAYS = 330.0
"""A record as long as this shows mean, swing and phase by itself."""
SWING_DAYS = 90.0
"""A record as long as this shows mean and swing, the phase given."""


class Year(NamedTuple):
    """The yearly wave of the outdoor air."""

    mean_C: float
    swing_K: float
    """Half of highest less lowest, K; never negative."""
    coldest_day: float
    """Day of the year, 1 on the morning of 1 January."""


def damping_depth(diffusivity: float, period_s: float) -> float:
    """Depth √(αP/π) at which a wave of this period is e times smaller, m (α in m²/s)."""
    return math.sqrt(diffusivity * period_s / math.pi)


def undisturbed_C(year: Year, depth_m: Array | float, damping_m: float, day: Array) -> Array:
    """Temperature at a depth on a day of the year (fractions and days beyond the year count), °C.

    ``depth_m`` and ``day`` broadcast against each other; depth 0 gives the wave of the air.
    """
    lag = np.asarray(depth_m, dtype=float) / damping_m
    angle = 2.0 * np.pi * (np.asarray(day, dtype=float) - year.coldest_day) / YEAR_DAYS
    return np.asarray(year.mean_C - year.swing_K * np.exp(-lag) * np.cos(angle - lag))


def day_of_year(weather: Any) -> Array:
    """Day of the year at the beginning of each hour, running on past New Year."""
    first = weather.start.timetuple()
    hours = first.tm_hour + np.arange(len(weather.t_out_C))
    return np.asarray(first.tm_yday + hours / 24.0)


def yearly_wave(weather: Any) -> Year:
    """Mean, swing and phase of the year that a record is part of.

    - 330 days or more: mean, cosine and sine of one year are fitted to all hours by least squares
      (over whole days the same as to daily means).
    - 90 days or more: a winter alone is colder than its year and does not show when the year is
      coldest; mean and swing are fitted with the coldest day of the table (half a year later in
      the south). Where warmth falls as the season should rise there is no swing.
    - Less: the swing is the table's too, and only the mean is fitted.
    """
    t_out, day = np.asarray(weather.t_out_C, dtype=float), day_of_year(weather)
    days = len(t_out) / 24.0
    if days >= WHOLE_YEAR_DAYS:
        return _whole(t_out, day)
    coldest = soil("coldest_day") + (0.5 * YEAR_DAYS if weather.latitude < 0.0 else 0.0)
    wave = -np.cos(2.0 * np.pi * (day - coldest) / YEAR_DAYS)
    if days < SWING_DAYS:
        swing = soil("year_swing")
        return Year(float(np.mean(t_out - swing * wave)), swing, coldest)
    both = np.column_stack([np.ones_like(wave), wave])
    mean, swing = (float(x) for x in np.linalg.lstsq(both, t_out, rcond=None)[0])
    return Year(mean, swing, coldest) if swing > 0.0 else Year(float(t_out.mean()), 0.0, coldest)


def _whole(t_out: Array, day: Array) -> Year:
    angle = 2.0 * np.pi * day / YEAR_DAYS
    terms = np.column_stack([np.ones_like(angle), -np.cos(angle), -np.sin(angle)])
    mean, along, across = (float(x) for x in np.linalg.lstsq(terms, t_out, rcond=None)[0])
    coldest = math.atan2(across, along) * YEAR_DAYS / (2.0 * math.pi)
    return Year(mean, math.hypot(along, across), coldest % YEAR_DAYS)
