"""Make a record whole: dew point, pressure, wind and sun where a file lacks them."""

from __future__ import annotations

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import checks, sun
from greenhouse_sim.weather.estimate_sun import estimate
from greenhouse_sim.weather.limits import number
from greenhouse_sim.weather.plausible import implausible
from greenhouse_sim.weather.rows import Rows
from greenhouse_sim.weather.weather import PERHAPS, Weather

Array = np.ndarray


def to_weather(rows: Rows) -> Weather:
    """Check rows, fill short gaps, complete what is missing.

    Raises
    ------
    WeatherError
        Anything in the rows that cannot be used, with its place and a remedy.
    """
    if not len(rows.stamps):
        raise WeatherError(f"{rows.path}: has no rows of hours; add one row an hour")
    checks.check_place(rows)
    checks.check_values(rows)
    checks.check_order(rows)
    checks.fill(rows)
    for key in ("t_out_C",):
        if key not in rows.columns:
            raise WeatherError(
                f'{rows.path}, column "{rows.labels.get(key, key)}": has no value at all; '
                "write the air temperature of every hour"
            )
    _dew_point(rows)
    _pressure(rows)
    _wind(rows)
    if rows.sun_from and not {"ghi_W", "dni_W"} & set(rows.columns):
        estimate(rows)
    sun.complete(rows)
    rows.notes += implausible(rows)
    unknown = np.full(len(rows.stamps), np.nan)
    for key in PERHAPS:
        rows.columns.setdefault(key, unknown)
    rows.columns.pop("humidity", None)
    return Weather(
        name=rows.name,
        site=rows.site,
        start=rows.stamps[0].astype("datetime64[s]").item(),
        utc_offset_h=rows.utc_offset_h,
        latitude=rows.latitude,
        longitude=rows.longitude,
        elevation_m=rows.elevation_m,
        notes=tuple(rows.notes),
        source=rows.source,
        synthetic=rows.synthetic,
        gaps=tuple(rows.gaps),
        **rows.columns,
    )


def dew_point(t_C: Array, humidity: Array) -> Array:
    """Dew point over liquid water, °C, by the Magnus formula.

    Weather reports state humidity over liquid water also below freezing.

    Parameters
    ----------
    t_C
        Air temperature, °C.
    humidity
        Relative humidity, 0 to 1; taken as at least 0.01.

    Source: Alduchov and Eskridge 1996 (weather table, magnus_a and magnus_b).
    """
    a, b = number("magnus_a"), number("magnus_b")
    part = np.log(np.clip(humidity, 0.01, 1.0)) + a * t_C / (b + t_C)
    return b * part / (a - part)


def standard_pressure(elevation_m: float) -> float:
    """Pressure of the standard atmosphere, Pa (ASHRAE 2017, chapter 1, equation 3)."""
    fall = 1.0 - number("pressure_lapse") * elevation_m
    return float(number("sea_level_pressure") * fall ** number("pressure_exponent"))


def _dew_point(rows: Rows) -> None:
    t_out = rows.columns["t_out_C"]
    if "t_dew_C" not in rows.columns:
        if "humidity" in rows.columns:
            rows.columns["t_dew_C"] = dew_point(t_out, rows.columns["humidity"])
        else:
            rows.columns["t_dew_C"] = _lowest_of_day(t_out)
            rows.notes.append(
                "no dew point and no humidity: the day's lowest temperature taken as dew point "
                "(FAO Irrigation and Drainage Paper 56, equation 48)"
            )
    dew = rows.columns["t_dew_C"]
    over = int((dew > t_out + 0.5).sum())
    if over:
        rows.notes.append(f"dew point above the air temperature in {over} hours: lowered to it")
    rows.columns["t_dew_C"] = np.minimum(dew, t_out)


def _lowest_of_day(t_out: Array) -> Array:
    hours = len(t_out)
    days = -(-hours // 24)
    padded = np.concatenate([t_out, np.full(days * 24 - hours, np.inf)]).reshape(days, 24)
    return np.repeat(padded.min(axis=1), 24)[:hours]


def _pressure(rows: Rows) -> None:
    if "pressure_Pa" not in rows.columns:
        pressure = standard_pressure(rows.elevation_m)
        rows.columns["pressure_Pa"] = np.full(len(rows.stamps), pressure)
        rows.notes.append(
            f"no pressure: {pressure:.0f} Pa of the standard atmosphere at {rows.elevation_m:g} m"
        )


def _wind(rows: Rows) -> None:
    if "wind_m_s" not in rows.columns:
        wind = number("wind_unknown")
        rows.columns["wind_m_s"] = np.full(len(rows.stamps), wind)
        rows.notes.append(f"no wind: {wind:g} m/s taken in every hour (FAO Paper 56, chapter 3)")
