"""Days on which nothing may be lit or loaded (air quality)."""

from __future__ import annotations

from datetime import datetime

import numpy as np

from greenhouse_sim.routine.numbers import Array
from greenhouse_sim.weather.month_day import MonthAndDay, month_day, number

SEED = 7
"""Of the days that are drawn; each winter draws its own."""


def no_burn_hours(
    banned: tuple[MonthAndDay, ...] | int, start: datetime, hours: int, seed: int = SEED
) -> Array:
    """True in the hours of banned days, shape (hours,).

    Parameters
    ----------
    banned
        (month, day) of every winter, or how many days of each winter: those are drawn evenly
        from all its days. (Real bans come in stagnant, often cold, weather and in a row; they are
        harder than days drawn so.)
    start
        First hour of the winter.
    hours
        Length of the winter.
    seed
        Of the drawing; together with the year it settles the days.
    """
    days = month_day(start, hours)
    if isinstance(banned, int):
        all_days = np.unique(days)
        rng = np.random.default_rng([seed, start.year])
        chosen = rng.choice(all_days, size=min(banned, len(all_days)), replace=False)
    else:
        chosen = np.array([number(day) for day in banned], dtype=int)
    return np.isin(days, chosen)
