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
MEASURED_YEAR = WHEEL / "12839.tm2"
"""Miami, where the sun of a part of the days was measured."""
MEASURED_SHARE = 0.95
"""Of a day's sun, for the day to count as measured."""
MEASURED_FLAGS = ("A", "B", "C", "D")
"""TMY2 source flags of measured sun (the National Solar Radiation Data Base's table C-3)."""
WINTER = (10, 11, 12, 1, 2, 3, 4)


class Misses(NamedTuple):
    """Errors over October to April."""

    range_day_W: float
    """RMS of the day's mean of global sun from the temperature range, W/m²."""
    other_day_W: float
    """The same by Bristow and Campbell's formula."""
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
    outside, _ = day.outside_sun_W(stamps, *place)
    cold_days = daily(winter.astype(float)) > 0.5
    return Misses(
        rms((daily(by_range) - daily(true))[cold_days]),
        rms((bristow_campbell(high - low, dates, daily(outside)) - daily(true))[cold_days]),
        float(by_range[winter].sum() / true[winter].sum() - 1.0),
        rms((by_cloud - true)[winter]),
        float(by_cloud[winter].sum() / true[winter].sum() - 1.0),
        rms(off),
        float(off.mean()),
    )


def bristow_campbell(span: np.ndarray, dates: np.ndarray, outside_W: np.ndarray) -> np.ndarray:
    """Daily global sun, W/m²: A (1 - exp(-B ΔT^2.4)) Ra, B = 0.036 exp(-0.154 mean ΔT), A = 0.7.

    Bristow and Campbell 1984, Agric. For. Meteorol. 31:159, the numbers as on the page
    "Bristow and Campbell" of the US Army Corps of Engineers' technical reference manual for
    hydrologic modelling; the mean is that of the calendar month.
    """
    month = dates.astype("datetime64[M]").astype(int) % 12
    mean = np.bincount(month, span, 12) / np.maximum(np.bincount(month, minlength=12), 1)
    rate = 0.036 * np.exp(-0.154 * mean[month])
    return 0.7 * (1.0 - np.exp(-rate * span**2.4)) * outside_W


class Sea(NamedTuple):
    """Errors over the days of measured sun of October to April by a warm sea."""

    days: int
    range_day_W: float
    range_sum: float
    other_day_W: float


def sea_misses() -> Sea:
    """The range method against measured sun."""
    import warnings

    from pvlib.iotools import read_tmy2

    with warnings.catch_warnings(action="ignore"):
        data, meta = read_tmy2(MEASURED_YEAR)
    stamps = np.datetime64("2001-01-01", "s") + np.arange(8760) * np.timedelta64(3600, "s")
    place = (meta["latitude"], meta["longitude"], meta["TZ"])
    t_out = data["DryBulb"].to_numpy(dtype=float) / 10.0
    true = data["GHI"].to_numpy(dtype=float).reshape(-1, 24)
    flags = data["GHISource"].to_numpy().reshape(-1, 24)
    measured = np.where(np.isin(flags, MEASURED_FLAGS), true, 0.0).sum(axis=1)
    seen = measured > MEASURED_SHARE * true.sum(axis=1)
    dates, _ = day.days_of(stamps)
    chosen = seen & np.isin(dates.astype("datetime64[M]").astype(int) % 12 + 1, WINTER)
    by_range = estimate_sun.from_range(t_out, stamps, place, meta["altitude"])
    outside, _ = day.outside_sun_W(stamps, *place)
    other = bristow_campbell(
        np.ptp(t_out.reshape(-1, 24), axis=1), dates, outside.reshape(-1, 24).mean(axis=1)
    )
    real, made = true.mean(axis=1), by_range.reshape(-1, 24).mean(axis=1)
    off, other_off = (made - real)[chosen], (other - real)[chosen]
    return Sea(
        int(chosen.sum()),
        float(np.sqrt((off * off).mean())),
        float(made[chosen].sum() / real[chosen].sum() - 1.0),
        float(np.sqrt((other_off * other_off).mean())),
    )


if __name__ == "__main__":
    for file in [Path(name) for name in sys.argv[1:]] or WHEEL_YEARS:
        found = misses(read_weather(file))
        print(file.name, ", ".join(f"{k} {v:.3g}" for k, v in found._asdict().items()))
    print(MEASURED_YEAR.name, sea_misses())
