"""The course of a day: when the sun rises, and how a day's sun is spread over its hours."""

from __future__ import annotations

import numpy as np

from greenhouse_sim.weather.sun import solar_noon_h

Array = np.ndarray
SHORTEST_H, LONGEST_H = 2.0, 22.0
"""Days near the poles are taken as at least and at most this long (judgement)."""


def days_of(stamps: Array) -> tuple[Array, Array]:
    """The dates among hourly stamps, and which of them each hour belongs to."""
    dates, member = np.unique(stamps.astype("datetime64[D]"), return_inverse=True)
    return dates, member


def half_day_rad(dates: Array, latitude: float) -> Array:
    """Hour angle of sunset, radians: cos ω = -tan φ tan δ (0 in polar night, π in polar day)."""
    from pvlib.solarposition import declination_spencer71

    number = (dates - dates.astype("datetime64[Y]").astype("datetime64[D]")).astype(int) + 1
    slope = -np.tan(np.radians(latitude)) * np.tan(declination_spencer71(number))
    return np.arccos(np.clip(slope, -1.0, 1.0))


def sunrise_h(dates: Array, latitude: float, longitude: float, utc_offset_h: float) -> Array:
    """Clock hour of sunrise, local standard time."""
    long_h = np.clip(np.degrees(half_day_rad(dates, latitude)) / 7.5, SHORTEST_H, LONGEST_H)
    noon = solar_noon_h(dates.astype("datetime64[s]"), longitude, utc_offset_h)
    return noon - long_h / 2.0


def height_sine(
    stamps: Array, latitude: float, longitude: float, utc_offset_h: float
) -> tuple[Array, Array]:
    """Sine of the sun's height in the middle of each hour, and its hour angle in radians.

    sin h = sin φ sin δ + cos φ cos δ cos ω with the declination of Spencer 1971: a tenth of a
    degree, enough for estimates, and forty times as fast as the exact position.
    """
    from pvlib.solarposition import declination_spencer71

    dates = stamps.astype("datetime64[D]")
    number = (dates - dates.astype("datetime64[Y]").astype("datetime64[D]")).astype(int) + 1
    tilt, place = declination_spencer71(number), np.radians(latitude)
    clock = (stamps - dates).astype(float) / 3600.0 + 0.5
    noon = solar_noon_h(stamps, longitude, utc_offset_h)
    angle = np.radians(15.0 * ((clock - noon + 12.0) % 24.0 - 12.0))
    sine = np.sin(place) * np.sin(tilt) + np.cos(place) * np.cos(tilt) * np.cos(angle)
    return sine, angle


def outside_sun_W(
    stamps: Array, latitude: float, longitude: float, utc_offset_h: float
) -> tuple[Array, Array]:
    """Sun on the horizontal above the air in each hour, W/m², and its height as a sine."""
    from pvlib.irradiance import get_extra_radiation

    dates = stamps.astype("datetime64[D]")
    number = (dates - dates.astype("datetime64[Y]").astype("datetime64[D]")).astype(int) + 1
    sine, _ = height_sine(stamps, latitude, longitude, utc_offset_h)
    full = np.asarray(get_extra_radiation(number), dtype=float)
    return full * np.clip(sine, 0.0, None), sine


def spread_over_day(
    daily_W: Array, stamps: Array, latitude: float, longitude: float, utc_offset_h: float
) -> Array:
    """Hourly global sun from its daily means, W/m².

    The usual share of each hour: (a + b cos ω) times the sine of the sun's height, with
    a = 0.409 + 0.5016 sin(ωs - 60°) and b = 0.6609 - 0.4767 sin(ωs - 60°), normed so that
    each day keeps its mean. Source: Collares-Pereira and Rabl 1979 (Solar Energy 22:155),
    as in Duffie and Beckman, Solar Engineering of Thermal Processes, equations 2.13.1 and 2.13.2.

    Parameters
    ----------
    daily_W
        Mean over the 24 hours, one for each date among the stamps, shape (days,).
    stamps
        Beginnings of the hours, local standard time, shape (hours,).
    """
    dates, member = days_of(stamps)
    half = half_day_rad(dates, latitude)
    tilt = np.sin(half - np.pi / 3.0)
    a, b = 0.409 + 0.5016 * tilt, 0.6609 - 0.4767 * tilt
    sine, angle = height_sine(stamps, latitude, longitude, utc_offset_h)
    weight = np.clip(a[member] + b[member] * np.cos(angle), 0.0, None) * np.clip(sine, 0.0, None)
    total = np.bincount(member, weight)
    hours = np.bincount(member)
    mean = np.where(total > 0.0, total, 1.0) / hours
    return daily_W[member] * weight / mean[member]
