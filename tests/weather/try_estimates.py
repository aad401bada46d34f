"""How far the estimates lie from real years: where the numbers in weather_estimates.csv come from.

``python tests/weather/try_estimates.py YEAR.epw ...`` prints a line for each file; without files
the typical years in pvlib's wheel are taken.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pvlib

from greenhouse_sim.weather import Weather, day, estimate_sun, read_weather
from greenhouse_sim.weather.daily import temperature_wave
from greenhouse_sim.weather.plausible import months_of

WHEEL = Path(pvlib.__file__).parent / "data"
WHEEL_YEARS = (WHEEL / "723170TYA.CSV", WHEEL / "703165TY.csv")
WINTER = (10, 11, 12, 1, 2, 3, 4)


class Misses(NamedTuple):
    """Errors over October to April."""

    range_day_W: float
    """RMS of the day's mean of global sun from the temperature range, W/m²."""
    range_winter: float
    """Sum of the winter over the true one, less 1."""
    cloud_hour_W: float
    """RMS of the hour's global sun from cloud, W/m²."""
    cloud_winter: float
    wave_K: float
    """RMS of the hour's temperature from daily extremes, K."""
    wave_mean_K: float


def misses(record: Weather) -> Misses:
    """Estimate what is known, and compare."""
    stamps = record.times()
    place = (record.latitude, record.longitude, record.utc_offset_h)
    winter = np.isin(months_of(stamps), WINTER)
    dates, member = day.days_of(stamps)

    def daily(values: np.ndarray) -> np.ndarray:
        return np.bincount(member, values) / np.bincount(member)

    def rms(off: np.ndarray) -> float:
        return float(np.sqrt((off * off).mean()))

    true = record.ghi_W
    by_range = estimate_sun.from_range(record.t_out_C, stamps, place, record.elevation_m)
    cloud = np.where(np.isnan(record.cloud), np.nanmean(record.cloud), record.cloud)
    by_cloud = estimate_sun.from_cloud(cloud, stamps, place)
    edges = np.flatnonzero(np.diff(member, prepend=-1))
    low = np.minimum.reduceat(record.t_out_C, edges)
    high = np.maximum.reduceat(record.t_out_C, edges)
    off = (temperature_wave(low, high, dates, place) - record.t_out_C)[winter]
    cold_days = daily(winter.astype(float)) > 0.5
    return Misses(
        rms((daily(by_range) - daily(true))[cold_days]),
        float(by_range[winter].sum() / true[winter].sum() - 1.0),
        rms((by_cloud - true)[winter]),
        float(by_cloud[winter].sum() / true[winter].sum() - 1.0),
        rms(off),
        float(off.mean()),
    )


if __name__ == "__main__":
    for file in [Path(name) for name in sys.argv[1:]] or WHEEL_YEARS:
        found = misses(read_weather(file))
        print(file.name, ", ".join(f"{k} {v:.3g}" for k, v in found._asdict().items()))
