"""Invent a year of hourly weather.

The recipe is the usual one of weather generators (Richardson 1981, Water
Resour. Res. 17:182): a yearly harmonic, an offset for the whole season, and
daily departures that remember the days before; then a daily swing tied to
cloud, sun from a clear-sky model dimmed by cloud, wind, dew point and pressure
as persistent processes.
"""

from __future__ import annotations

import math
import random

import numpy as np

from greenhouse_sim.weather.climates import FIRST_YEAR, Climate, Winter
from greenhouse_sim.weather.complete import standard_pressure
from greenhouse_sim.weather.limits import number
from greenhouse_sim.weather.sun import erbs_split, zenith_deg

Array = np.ndarray
DAYS = 365
HOURS = DAYS * 24
BEGIN = np.datetime64(f"{FIRST_YEAR}-06-01T00:00:00", "s")
WARMEST_H = 15.0
"""Clock hour of the day's highest temperature (common practice)."""


class Dice:
    """Standard normal numbers that are the same on every machine and library version."""

    def __init__(self, start: int) -> None:
        self._uniform = random.Random(start).random

    def normal(self, count: int) -> Array:
        """Shape (count,), by the Box-Muller rule."""
        draw = self._uniform
        return np.array(
            [
                math.sqrt(-2.0 * math.log(1.0 - draw())) * math.cos(2.0 * math.pi * draw())
                for _ in range(count)
            ]
        )


def persistent(noise: Array, first: float, second: float = 0.0) -> Array:
    """Autoregression of first or second order on noise, with unit variance."""
    r1 = first / (1.0 - second)
    r2 = first * r1 + second
    scale = math.sqrt(1.0 - first * r1 - second * r2)
    out = np.zeros(len(noise))
    one_ago = two_ago = 0.0
    for i, e in enumerate(noise):
        value = first * one_ago + second * two_ago + scale * e
        out[i], two_ago, one_ago = value, one_ago, value
    return out


def share_below(z: Array) -> Array:
    """Share of a standard normal distribution below z."""
    return np.array([0.5 * (1.0 + math.erf(value / math.sqrt(2.0))) for value in z])


def invent_year(climate: Climate, winter: Winter) -> dict[str, Array]:
    """A year of weather from 1 June on, shape (8760,), keyed as in `Weather`."""
    dice = Dice(winter.number)
    stamps = BEGIN + np.arange(HOURS) * np.timedelta64(3600, "s")
    depth = _winter_depth(climate, np.arange(DAYS))
    departure = persistent(dice.normal(DAYS), number("day_to_day_1"), number("day_to_day_2"))
    cloud_day = _cloud_of_day(climate, depth, departure, dice)
    cloud = np.round(_cloud(cloud_day, dice), 2)
    wind = _wind(climate, departure, dice)
    day_C = _day_means(climate, winter, depth, departure)
    base = _between_days(day_C)
    swing = _swing(climate, depth, cloud_day, wind)
    t_out = base + _shape(climate, stamps) * np.repeat(swing, 24)
    t_out = t_out + 0.35 * persistent(dice.normal(HOURS), 0.75)
    dew = _dew(climate, base, t_out, cloud, dice)
    ghi, dni, dhi = _sun(climate, stamps, cloud)
    pressure = _pressure(climate, departure, dice)
    return {
        "t_out_C": np.round(t_out, 1),
        "t_dew_C": np.minimum(np.round(dew, 1), np.round(t_out, 1)),
        "pressure_Pa": np.round(pressure, -1),
        "wind_m_s": np.round(wind, 1),
        "ghi_W": ghi,
        "dni_W": dni,
        "dhi_W": dhi,
        "cloud": cloud,
    }


def _winter_depth(climate: Climate, day: Array) -> Array:
    """1 on the coldest day of the year, -1 half a year away."""
    of_year = (day + 151.0) % DAYS + 1.0  # the record begins on day 152, 1 June
    return np.cos(2.0 * np.pi * (of_year - climate.coldest_day) / DAYS)


def _day_means(climate: Climate, winter: Winter, depth: Array, departure: Array) -> Array:
    middle = 0.5 * (climate.spread_C + climate.spread_summer_C)
    spread = middle + (climate.spread_C - middle) * depth
    offset = winter.offset_C * np.clip(depth + 0.5, 0.0, 1.0)
    outbreak = climate.cold_stretch * np.clip(depth, 0.0, 1.0) * np.clip(departure + 1.0, None, 0.0)
    return climate.mean_C - climate.swing_C * depth + offset + spread * (departure + outbreak)


def _cloud_of_day(climate: Climate, depth: Array, departure: Array, dice: Dice) -> Array:
    own = persistent(dice.normal(DAYS), 0.45)
    tie = climate.cold_is_clear * np.clip(depth, -0.3, 1.0)
    return tie * departure + np.sqrt(1.0 - tie * tie) * own + _cover(climate, depth)


def _cover(climate: Climate, depth: Array) -> Array:
    return climate.cloudy + climate.cloudy_winter * depth


def _cloud(cloud_day: Array, dice: Dice) -> Array:
    """Hourly cloud share: mostly clear or mostly covered, seldom half."""
    z = _between_days(cloud_day) + 0.45 * persistent(dice.normal(HOURS), 0.85)
    return share_below(1.4 * z)


def _wind(climate: Climate, departure: Array, dice: Dice) -> Array:
    """Weibull wind, stronger after noon, calmer in cold and clear spells."""
    z = persistent(dice.normal(HOURS), 0.93) + 0.25 * np.repeat(departure, 24)
    share = np.clip(share_below(z / math.sqrt(1.0 + 0.25**2)), 1e-6, 1.0 - 1e-6)
    speed = climate.wind_scale * (-np.log(1.0 - share)) ** (1.0 / climate.wind_shape)
    clock = np.arange(HOURS) % 24 + 0.5
    return speed * (1.0 + 0.15 * np.cos(2.0 * np.pi * (clock - WARMEST_H) / 24.0))


def _between_days(days: Array) -> Array:
    """Daily values as a smooth hourly curve through the noons."""
    noon = np.arange(len(days)) * 24.0 + 12.0
    hours = np.arange(len(days) * 24) + 0.5
    return np.interp(hours, noon, days)


def _swing(climate: Climate, depth: Array, cloud_day: Array, wind: Array) -> Array:
    """Half of the daily range, K: wide under clear skies, in calm air and long days."""
    cover = share_below(1.4 * cloud_day)
    calm = np.clip(1.15 - 0.035 * wind.reshape(DAYS, 24).mean(axis=1), 0.7, 1.15)
    return 0.5 * climate.range_C * (1.0 - 0.65 * cover) * calm * (1.0 - 0.2 * depth)


def _shape(climate: Climate, stamps: Array) -> Array:
    """Daily course between about -1 near sunrise and 1 at the warmest hour, mean zero.

    A half cosine up from sunrise, a decay down through the night.
    """
    clock = np.arange(HOURS) % 24 + 0.5
    rise = np.repeat(_sunrise_h(climate, stamps[::24]), 24)
    up = (clock - rise) / (WARMEST_H - rise)
    down = ((clock - WARMEST_H) % 24.0) / (24.0 - WARMEST_H + rise)
    decay = 1.0 - 2.0 * (1.0 - np.exp(-2.0 * down)) / (1.0 - math.exp(-2.0))
    course = np.where((up >= 0.0) & (up <= 1.0), -np.cos(np.pi * np.clip(up, 0.0, 1.0)), decay)
    return course - np.repeat(course.reshape(DAYS, 24).mean(axis=1), 24)


def _sunrise_h(climate: Climate, days: Array) -> Array:
    """Clock hour of sunrise from the day's declination (Cooper 1969, from memory)."""
    of_year = (days.astype("datetime64[D]") - days.astype("datetime64[Y]")).astype(float) + 1.0
    declination = np.radians(23.45) * np.sin(2.0 * np.pi * (284.0 + of_year) / 365.0)
    half = np.arccos(-np.tan(np.radians(climate.latitude)) * np.tan(declination))
    noon = 12.0 + climate.utc_offset_h - climate.longitude / 15.0
    return noon - np.degrees(half) / 15.0


def _dew(climate: Climate, base: Array, t_out: Array, cloud: Array, dice: Dice) -> Array:
    """Dew point: below the day's mean by more under clear skies and in warm air."""
    dry = climate.dry_cloud_K + (climate.dry_clear_K - climate.dry_cloud_K) * (1.0 - cloud)
    warmth = np.clip(0.75 + 0.025 * base, 0.3, 1.3)
    unrest = np.exp(0.25 * persistent(dice.normal(HOURS), 0.95))
    return np.minimum(base - dry * warmth * unrest, t_out - 0.2)


def _pressure(climate: Climate, departure: Array, dice: Dice) -> Array:
    """Station pressure: the standard atmosphere, higher in cold air."""
    days = persistent(dice.normal(DAYS), 0.6)
    return standard_pressure(climate.elevation_m) + 700.0 * _between_days(days - 0.5 * departure)


def _sun(climate: Climate, stamps: Array, cloud: Array) -> tuple[Array, Array, Array]:
    """Global, direct and diffuse sun, W/m²: clear sky (Haurwitz) dimmed by cloud, split by Erbs.

    Cloud by Kasten and Czeplak 1980: 1 - 0.75 N^3.4. The mean of six moments of the hour.
    """
    import pandas as pd
    from pvlib import clearsky

    place = (climate.latitude, climate.longitude, climate.utc_offset_h)
    clear = np.zeros(HOURS)
    for minute in (-25, -15, -5, 5, 15, 25):
        moment = zenith_deg(stamps + np.timedelta64(minute * 60, "s"), *place)
        clear += clearsky.haurwitz(pd.Series(moment))["ghi"].to_numpy() / 6.0
    dim = 1.0 - number("cloud_shade") * cloud ** number("cloud_power")
    ghi = np.round(clear * dim)
    dni, dhi = erbs_split(ghi, zenith_deg(stamps, *place), stamps)
    return ghi, np.round(dni), np.round(dhi)
