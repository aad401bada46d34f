"""Make the months of the made weather average to the table of normals.

The hours of a day reach a little beyond its own course (weather fronts, what an hour has more)
and the course has its mean elsewhere than half way up; so a pilot of years with random numbers
of their own is made, and the days' middle, their swing and their dew point are moved until
the pilot's months agree with the table. The scatter of the swing is moved until
the days' courses vary as they should (as Richardson 1981 keeps the spreads of both daily extremes):
fronts give a part of it. A pilot never meets the winters that are handed out.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from greenhouse_sim.weather.normals import Normals
from greenhouse_sim.weather.normals_climate import DAYS, Year, shifted
from greenhouse_sim.weather.normals_curves import course, month_means
from greenhouse_sim.weather.normals_daily import bent
from greenhouse_sim.weather.normals_days import Draw, clear_days, dew_point, draw, temperature
from greenhouse_sim.weather.normals_shape import swing_of

Array = np.ndarray
PILOT_YEARS = 40
ROUNDS = 4
EAGER = 1.8
"""Kelvin of swing for a kelvin of daily range that lacks: about half of it shows in the range."""
EAGER_SCATTER = 1.5
"""The same of scatter, for a kelvin that lacks in the spread of the days' courses."""
PILOT_STREAM = 987_654_321
"""Starts the pilot's random numbers, the same for every table."""


class Settled(NamedTuple):
    """What was found; courses by day of the year are made from the twelve months."""

    middle_K: Array
    swing_K: Array
    scatter_K: Array
    dew_K: Array


def settle(normals: Normals, year: Year) -> Settled:
    """Twelve corrections each, K, of middle, swing, scatter and dew point."""
    draws = _draws(year)
    found = Settled(np.zeros(12), np.zeros(12), np.zeros(12), np.zeros(12))
    spread = month_means(year.swing_sd_K, year.month)
    least = -month_means(year.scatter_K, year.month)
    middle = 0.5 * (np.asarray(normals.mean_max_C) + np.asarray(normals.mean_min_C))
    wide = np.asarray(normals.mean_max_C) - np.asarray(normals.mean_min_C)
    for _ in range(ROUNDS):
        high, low, sd, dew, chance = _months(apply(found, year), draws, normals.t_dew_C is not None)
        found = Settled(
            found.middle_K + middle - (0.5 * (high + low) - chance),
            found.swing_K + EAGER * (wide - (high - low)),
            np.maximum(found.scatter_K + EAGER_SCATTER * (spread - sd), least),
            found.dew_K if normals.t_dew_C is None else found.dew_K + normals.t_dew_C - dew,
        )
    return found


def apply(found: Settled, year: Year) -> Year:
    """A year with the corrections."""
    return shifted(year, *(course(months, year.of_year) for months in found))


def _draws(year: Year) -> list[Draw]:
    streams = np.random.SeedSequence(PILOT_STREAM).spawn(PILOT_YEARS)
    return [draw(year, np.random.default_rng(stream)) for stream in streams]


def _months(year: Year, draws: list[Draw], dewy: bool) -> tuple[Array, Array, Array, Array, Array]:
    """Months of the pilot: highest, lowest, spread of courses, dew point, chance departure."""
    high, low, dew, chance, swing = (np.zeros((len(draws), DAYS)) for _ in range(5))
    for i, drawn in enumerate(draws):
        t_out = temperature(year, drawn, clear_days(year, drawn))
        days = t_out.reshape(DAYS, 24)
        high[i], low[i] = days.max(axis=1), days.min(axis=1)
        swing[i], _ = swing_of(days, year.shape)
        chance[i] = year.sd_K * bent(drawn.departure, year.skew)
        if dewy:
            dew[i] = dew_point(year, drawn, t_out).reshape(DAYS, 24).mean(axis=1)
            dew[i] -= chance[i]
    means = [month_means(values, year.month) for values in (high, low, dew, chance)]
    spread = np.array([np.std(swing[:, year.month == m]) for m in range(1, 13)])
    return means[0], means[1], spread, means[2], means[3]
