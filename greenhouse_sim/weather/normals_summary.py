"""What made winters are like: their months, and how one winter differs from another."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from greenhouse_sim.weather.normals_curves import days_of, month_means
from greenhouse_sim.weather.weather import Weather
from greenhouse_sim.weather.winter import winters

Array = np.ndarray
BASE_C = 10.0
"""Base of the degree-days: what a cool greenhouse is held at."""


class Months(NamedTuple):
    """Twelve values each, January to December."""

    mean_max_C: Array
    mean_min_C: Array
    daily_sd_K: Array
    """Standard deviation of daily means over all years."""
    lowest_C: Array
    """Lowest hour of all years."""
    sun_kWh_m2: Array
    """Mean global sun of a day."""


class One(NamedTuple):
    """One winter, October to April (April to October south of the equator)."""

    winter: str
    mean_C: float
    lowest_C: float
    degree_days_K: float
    """Kelvin-days of daily means below `BASE_C`."""


def months_of(record: Weather) -> Months:
    """The months of a record that begins at midnight."""
    t_out = record.t_out_C.reshape(-1, 24)
    _, month = days_of(np.datetime64(record.start, "D"), len(t_out))
    day = t_out.mean(axis=1)
    return Months(
        month_means(t_out.max(axis=1), month),
        month_means(t_out.min(axis=1), month),
        np.array([day[month == m].std() for m in range(1, 13)]),
        np.array([t_out[month == m].min() for m in range(1, 13)]),
        month_means(record.ghi_W.reshape(-1, 24).sum(axis=1) / 1000.0, month),
    )


def each_winter(record: Weather) -> list[One]:
    """Every winter of a record, in order."""
    span = ((10, 1), (4, 30)) if record.latitude >= 0.0 else ((4, 1), (10, 31))
    found = []
    for one in winters(record, *span):
        day = one.t_out_C.reshape(-1, 24).mean(axis=1)
        cold = float(np.clip(BASE_C - day, 0.0, None).sum())
        found.append(One(one.name, float(day.mean()), float(one.t_out_C.min()), cold))
    return found
