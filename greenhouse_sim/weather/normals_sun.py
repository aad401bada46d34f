r"""The sun of each day as a share of a clear day's, and its hours.

The share of a clear day (its *clearness*) comes from a normal number ``u`` through the normal
distribution function,

.. math:: k = k_0 + (k_1 - k_0)\,\Phi(a + b u)

whose mean is known in closed form, :math:`\Phi(a / \sqrt{1 + b^2})`, so that ``a`` follows
from the month's mean sun. ``u`` is tied to temperature (cold spells are clear inland) and a
little to the day before.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.limits import number as weather_number
from greenhouse_sim.weather.normals import Normals, number
from greenhouse_sim.weather.normals_curves import MONTHS, course, month_means
from greenhouse_sim.weather.normals_shape import day_length_h
from greenhouse_sim.weather.sun import zenith_deg

Array = np.ndarray
MOMENTS_MIN = (-20, 20, 0)
"""Minutes off the middle of the hour at which the clear sky is looked at; the middle last."""
SLACK = 1.03
"""Printed sun hours may exceed the days by this much: a flat horizon hides no hill."""


class Sky(NamedTuple):
    """The sun over a year at a place, before any cloud."""

    zenith: Array
    """True zenith angle in the middle of each hour, degrees, shape (hours,)."""
    clear_W: Array
    """Global sun of a clear sky, mean of the hour, shape (hours,)."""
    above_W: Array
    """The same above the air."""


def sky_over(stamps: Array, place: tuple[float, float, float]) -> Sky:
    """Clear sky (Haurwitz 1945) and sun above the air through pvlib, hour by hour.

    Parameters
    ----------
    stamps
        Beginnings of the hours, local standard time, datetime64[s].
    place
        Latitude, longitude, offset from universal time (h).
    """
    import pandas as pd
    from pvlib import clearsky, irradiance

    clear, cosine = np.zeros(len(stamps)), np.zeros(len(stamps))
    for minutes in MOMENTS_MIN:
        zenith = zenith_deg(stamps + np.timedelta64(minutes * 60, "s"), *place)
        clear += clearsky.haurwitz(pd.Series(zenith))["ghi"].to_numpy() / len(MOMENTS_MIN)
        cosine += np.clip(np.cos(np.radians(zenith)), 0.0, None) / len(MOMENTS_MIN)
    extra = np.asarray(irradiance.get_extra_radiation(pd.DatetimeIndex(stamps)))
    return Sky(zenith, clear, extra * cosine)


def mean_sun_W(normals: Normals, sky: Sky, days: Array, month: Array) -> tuple[Array, str]:
    """Mean global sun of each month, W/m², shape (12,), with a note on where it comes from.

    From the table's radiation; else from sun hours, H = H0 (a + b n/N) (Ångström's formula with
    the numbers of FAO Paper 56); else from cloud, taken as the share of sunshine that lacks;
    else from the daily range, H = k sqrt(range) H0 (Hargreaves, FAO Paper 56, equation 50).

    Raises
    ------
    WeatherError
        More sun than there can be, with its month.
    """
    above = month_means(sky.above_W.reshape(-1, 24).mean(axis=1), month)
    if normals.radiation_W is not None:
        _no_more_than(normals, "radiation", normals.radiation_W, above, "W/m² above the air")
        return np.asarray(normals.radiation_W), ""
    of_year = (days - days.astype("datetime64[Y]")).astype(float) + 1.0
    length = month_means(day_length_h(of_year, normals.latitude), month)
    if normals.sun_h is not None:
        _no_more_than(normals, "sun_hours", normals.sun_h, length * SLACK + 0.2, "hours of day")
        shine = np.asarray(normals.sun_h) / np.maximum(length, 0.5)
        note = "sun made from hours of sunshine (Ångström's formula, FAO Paper 56): good to 10 %"
    elif normals.cloud is not None:
        shine = 1.0 - np.asarray(normals.cloud)
        note = "sun made from mean cloud by way of sunshine (FAO Paper 56): good to 15 %"
    else:
        wide = np.asarray(normals.mean_max_C) - np.asarray(normals.mean_min_C)
        note = (
            "no radiation, sun hours or cloud: sun made from the daily range of temperature "
            "(Hargreaves, FAO Paper 56), good to 20 % and worse by the sea"
        )
        return np.minimum(number("range_sun") * np.sqrt(wide), 0.8) * above, note
    through = number("angstrom_a") + number("angstrom_b") * np.minimum(shine, 1.0)
    return through * above, note


def _no_more_than(
    normals: Normals, key: str, values: tuple[float, ...], most: Array, of: str
) -> None:
    for name, value, limit in zip(MONTHS, values, most, strict=True):
        if value > limit:
            raise WeatherError(
                f"{normals.name}: [normals] {key}: {value:.3g} in {name} is more than the "
                f"{limit:.3g} {of} at latitude {normals.latitude:g}; check the unit, and whether "
                "the value is of a day or of the whole month"
            )


def centre(mean_sun: Array, sky: Sky, month: Array, of_year: Array) -> Array:
    """The ``a`` of each day, from the months' mean sun, shape (days,)."""
    from scipy.special import ndtri

    clear = month_means(sky.clear_W.reshape(-1, 24).mean(axis=1), month)
    low, high, spread = number("dullest"), number("clearest"), number("clear_spread")
    lit = clear > 1.0
    ratio = np.where(lit, mean_sun / np.where(lit, clear, 1.0), 0.5)
    share = np.clip((course(ratio, of_year) - low) / (high - low), 0.03, 0.97)
    return np.asarray(np.sqrt(1.0 + spread * spread) * ndtri(share))


def clearness(a: Array, u: Array) -> Array:
    """Daily sun over that of a clear day."""
    from scipy.special import ndtr

    low, high = number("dullest"), number("clearest")
    return np.asarray(low + (high - low) * ndtr(a + number("clear_spread") * u))


def cloud_of(clear: Array) -> Array:
    """Share of the sky under cloud of a day, by Kasten and Czeplak's formula the other way."""
    lost = np.clip((1.0 - clear) / weather_number("cloud_shade"), 0.0, 1.0)
    return np.asarray(lost ** (1.0 / weather_number("cloud_power")))
