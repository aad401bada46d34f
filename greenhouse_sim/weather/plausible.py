"""Could it be that warm there? The months of a record against what its latitude has."""

from __future__ import annotations

import calendar
import functools

import numpy as np

from greenhouse_sim.tables.read import read_rows
from greenhouse_sim.weather.rows import Rows

Array = np.ndarray
LAPSE_K_M = 0.0065
"""The air cools by this with height (definition of the standard atmosphere), K/m."""
FEWEST_H = 480
"""Hours that a month needs to be judged (judgement): twenty days."""
MARGIN_K = 2.0
"""A single month may lie this far beyond the mean ones of the table (judgement)."""


@functools.cache
def _bands() -> dict[str, Array]:
    rows = read_rows("weather_plausible")
    names = ("latitude", "coldest_low", "coldest_high", "warmest_low", "warmest_high")
    return {name: np.array([float(row[name]) for row in rows]) for name in names}


def month_band(month: int, latitude: float, elevation_m: float) -> tuple[float, float]:
    """Lowest and highest mean temperature that a month has at a latitude, °C.

    Between the coldest month (January; July in the south) and the warmest by a cosine; lower
    with height, and as if at the sea's level for the upper bound of the lowest 1000 m.
    """
    bands = _bands()
    at = {key: float(np.interp(abs(latitude), bands["latitude"], v)) for key, v in bands.items()}
    from_coldest = month - (1 if latitude >= 0.0 else 7)
    warm = (1.0 - np.cos(2.0 * np.pi * from_coldest / 12.0)) / 2.0
    low = at["coldest_low"] + warm * (at["warmest_low"] - at["coldest_low"])
    high = at["coldest_high"] + warm * (at["warmest_high"] - at["coldest_high"])
    cooler = LAPSE_K_M * elevation_m
    return low - max(cooler, 0.0), high - max(cooler - LAPSE_K_M * 1000.0, 0.0)


def months_of(stamps: Array) -> Array:
    """Month of each stamp, 1 to 12."""
    return np.asarray(stamps.astype("datetime64[M]").astype(int) % 12 + 1)


def monthly_means(t_C: Array, months: Array) -> dict[int, float]:
    """Mean of each calendar month that has enough hours, °C."""
    return {
        month: float(t_C[months == month].mean())
        for month in range(1, 13)
        if (months == month).sum() >= FEWEST_H
    }


def misfit_K(means: dict[int, float], latitude: float, elevation_m: float) -> float:
    """How far the months lie outside what the latitude has, summed over months, K."""
    total = 0.0
    for month, mean in means.items():
        low, high = month_band(month, latitude, elevation_m)
        total += max(low - MARGIN_K - mean, mean - high - MARGIN_K, 0.0)
    return total


def implausible(rows: Rows) -> list[str]:
    """A warning where the temperatures do not fit the latitude, with the likely unit."""
    means = monthly_means(rows.columns["t_out_C"], months_of(rows.stamps))
    place = (rows.latitude, rows.elevation_m)
    off = misfit_K(means, *place)
    if off <= 0.0:
        return []
    month = max(means, key=lambda m: misfit_K({m: means[m]}, *place))
    low, high = month_band(month, *place)
    label = rows.labels.get("t_out_C", "t_out_C")
    return [
        f'WARNING: column "{label}": {calendar.month_name[month]} has a mean of {means[month]:.0f} '
        f"°C, implausible for latitude {rows.latitude:.0f} (usual {low:.0f} to {high:.0f} °C)"
        f"{_guess(means, place, off)}"
    ]


def _guess(means: dict[int, float], place: tuple[float, float], off: float) -> str:
    """What unit would fit better."""
    ways = {
        "the numbers would fit as degC: is the column Celsius, not Fahrenheit?": (1.8, 32.0),
        "the numbers would fit as degF: is the column Fahrenheit, not Celsius?": (
            1.0 / 1.8,
            -32.0 / 1.8,
        ),
    }
    for words, (factor, shift) in ways.items():
        if misfit_K({m: t * factor + shift for m, t in means.items()}, *place) < 0.1 * off:
            return f"; {words}"
    return "; check unit and latitude"
