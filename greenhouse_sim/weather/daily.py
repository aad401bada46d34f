"""Days into hours: a temperature wave through the daily lowest and highest."""

from __future__ import annotations

import numpy as np

from greenhouse_sim.tables.read import read_keyed
from greenhouse_sim.weather.day import spread_over_day, sunrise_h
from greenhouse_sim.weather.estimate_sun import error_words
from greenhouse_sim.weather.rows import Rows
from greenhouse_sim.weather.sun import solar_noon_h

Array = np.ndarray
DAY_S = 86400
HOURS = 24


def is_daily(stamps: Array) -> bool:
    """True where most steps between stamps are a day."""
    steps = np.diff(np.sort(stamps)).astype(int)
    return len(steps) > 0 and int(np.median(steps)) == DAY_S


def temperature_wave(
    low_C: Array, high_C: Array, dates: Array, place: tuple[float, float, float]
) -> Array:
    """Hourly means of temperature, °C, from each day's lowest and highest.

    From the lowest at sunrise to the highest two hours after solar noon, and on to the next
    day's lowest, by half waves of a cosine: the WAVE shape of de Wit et al. 1978, as compared
    in Reicosky et al. 1989 (Agric. For. Meteorol. 46:193), drawn through consecutive days.

    Parameters
    ----------
    low_C, high_C
        Of consecutive days, nan where unknown, shape (days,).
    dates
        datetime64[D], shape (days,).
    place
        Latitude, longitude (degrees) and offset from universal time (h).

    Returns
    -------
    ndarray
        Shape (24 days,); nan between extremes of which one is unknown.
    """
    latitude, longitude, offset = place
    rise = sunrise_h(dates, latitude, longitude, offset)
    noon = solar_noon_h(dates.astype("datetime64[s]"), longitude, offset)
    begin = np.arange(len(dates)) * float(HOURS)
    warm = noon + read_keyed("weather_estimates")["warmest_after_noon"].number
    at = np.column_stack([begin + rise, begin + warm]).ravel()
    value = np.column_stack([low_C, high_C]).ravel()
    at = np.concatenate([[at[1] - HOURS], at, [at[-2] + HOURS]])
    value = np.concatenate([[value[1]], value, [value[-2]]])
    hour = np.arange(HOURS * len(dates)) + 0.5
    before = np.clip(np.searchsorted(at, hour, side="right") - 1, 0, len(at) - 2)
    way = (hour - at[before]) / (at[before + 1] - at[before])
    eased = (1.0 - np.cos(np.pi * np.clip(way, 0.0, 1.0))) / 2.0
    return value[before] + (value[before + 1] - value[before]) * eased


def to_hours(rows: Rows, low_C: Array, high_C: Array) -> None:
    """Spread daily rows over their hours, in place: temperature as a wave, sun over the day.

    Other quantities are taken as equal through the day. A day without a row stays a gap.
    """
    place = (rows.latitude, rows.longitude, rows.utc_offset_h)
    dates = rows.stamps.astype("datetime64[D]")
    days = np.arange(dates[0], dates[-1] + 1)
    where = (dates - dates[0]).astype(int)

    def on_every_day(values: Array) -> Array:
        full = np.full(len(days), np.nan)
        full[where] = values
        return full

    hours = np.arange(HOURS * len(days)) * np.timedelta64(3600, "s")
    stamps = days[0].astype("datetime64[s]") + hours
    columns = {key: on_every_day(values) for key, values in rows.columns.items()}
    hourly = {key: np.repeat(values, HOURS) for key, values in columns.items()}
    if "ghi_W" in columns:
        hourly["ghi_W"] = spread_over_day(columns["ghi_W"], stamps, *place)
    hourly["t_out_C"] = temperature_wave(on_every_day(low_C), on_every_day(high_C), days, place)
    row = np.zeros(len(days), dtype=np.int64)
    row[where] = rows.file_row
    rows.stamps, rows.columns, rows.file_row = stamps, hourly, np.repeat(row, HOURS)
    rows.notes.append(
        "WARNING: daily lowest and highest temperatures made hourly by the wave of de Wit et al. "
        f"1978; where it was tried an hour was off by {error_words('daily_hour_error')} °C (RMS). "
        "Wind, humidity and cloud are taken as equal all day"
    )
