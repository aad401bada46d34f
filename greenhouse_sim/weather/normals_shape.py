"""The daily course of temperature, and the hours of days whose means are given."""

from __future__ import annotations

import numpy as np

from greenhouse_sim.weather.normals import number
from greenhouse_sim.weather.sun import solar_noon_h

Array = np.ndarray
SHORTEST_H, LONGEST_H = 1.0, 23.0
"""Day length is kept between these, so that the polar night and day have a course too."""


def day_length_h(day_of_year: Array, latitude: float) -> Array:
    """Hours from sunrise to sunset of the sun's centre on a flat horizon."""
    from pvlib import solarposition

    declination = solarposition.declination_spencer71(day_of_year)
    cosine = -np.tan(np.radians(latitude)) * np.tan(declination)
    return 24.0 / np.pi * np.arccos(np.clip(cosine, -1.0, 1.0))


def daily_course(days: Array, place: tuple[float, float, float]) -> Array:
    """Course of temperature, shape (days, 24), mean 0 on each day, highest less lowest about 1.

    Half a sine from sunrise to beyond the warmest hour, then an exponential fall through the
    night (Parton and Logan 1981, Agric. Meteorol. 23:205). Their night ends a ninth of the
    evening's height over the morning's low; it is stretched here to meet it.

    Parameters
    ----------
    days
        Days, datetime64[D].
    place
        Latitude, longitude, offset from universal time (h).
    """
    latitude, longitude, utc_offset_h = place
    of_year = (days - days.astype("datetime64[Y]")).astype(float) + 1.0
    length = np.clip(day_length_h(of_year, latitude), SHORTEST_H, LONGEST_H)
    noon = solar_noon_h(days.astype("datetime64[s]"), longitude, utc_offset_h)
    low = (noon - 0.5 * length + number("trough_lag"))[:, None]
    bright = (length - number("trough_lag"))[:, None]
    width = (length + 2.0 * number("peak_lag"))[:, None]
    since = (np.arange(24) + 0.5 - low) % 24.0
    at_sunset = np.sin(np.pi * np.minimum(bright / width, 1.0))
    fall = number("night_fall")
    gone = np.clip((since - bright) / (24.0 - bright), 0.0, 1.0)
    night = at_sunset * (np.exp(-fall * gone) - np.exp(-fall)) / (1.0 - np.exp(-fall))
    shape = np.where(since < bright, np.sin(np.pi * np.minimum(since / width, 1.0)), night)
    return np.asarray(shape - shape.mean(axis=1, keepdims=True))


def hours_of(days: Array) -> Array:
    """A smooth hourly curve whose mean over every day is that of the day.

    The slope of the cubic spline through the running sum of the days (a histospline: Boneva,
    Kendall and Stefanov 1971, J. R. Stat. Soc. B 33:1; Schoenberg 1973; both from memory),
    averaged over each hour. Straight lines from noon to noon that keep the days' means turn
    sharply at each noon; nature does not: with them a day's own course had to make up for it
    and was wider at all of six stations.

    Parameters
    ----------
    days
        Daily means, shape (days,); beyond the first and last the slope is level.
    """
    from scipy.interpolate import CubicSpline

    count = len(days)
    if count == 1:
        return np.full(24, float(days[0]))
    total = np.concatenate([[0.0], np.cumsum(days)])
    spline = CubicSpline(np.arange(count + 1.0), total, bc_type="natural")
    return np.asarray(24.0 * np.diff(spline(np.arange(24.0 * count + 1.0) / 24.0)))


def swing_of(days: Array, shape: Array) -> tuple[Array, Array]:
    """Highest less lowest of each day's own course, K, and what its hours have beside it.

    The part of the hours that has the course's shape (least squares), beside the smooth curve
    through the days' means.

    Parameters
    ----------
    days
        Hourly temperature, shape (days, 24).
    shape
        As `daily_course` gives it.
    """
    beside = days - hours_of(days.mean(axis=1)).reshape(-1, 24)
    swing = (beside * shape).sum(axis=1) / (shape * shape).sum(axis=1)
    return swing, beside - swing[:, None] * shape


def between_noons(values: Array) -> Array:
    """Straight lines through values at the noons, taken in the middle of each hour."""
    noon = np.arange(len(values)) * 24.0 + 12.0
    return np.interp(np.arange(len(values) * 24) + 0.5, noon, values)
