"""Make one year of weather out of what is known of its days."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from greenhouse_sim.weather.complete import dew_point as dew_point_of
from greenhouse_sim.weather.normals import number
from greenhouse_sim.weather.normals_climate import DAYS, Year
from greenhouse_sim.weather.normals_daily import bent, departures, persistent
from greenhouse_sim.weather.normals_shape import between_noons, hours_of
from greenhouse_sim.weather.normals_sun import clearness, cloud_of

Array = np.ndarray
WATER_MM = 0.408
"""Millimetres of water that a MJ/m² evaporates (FAO Paper 56, equation 20, from memory)."""
WINDIEST_H = 14.0
"""Clock hour of the strongest wind (common practice)."""


class Draw(NamedTuple):
    """The random numbers of one year, normal with mean 0 and variance 1."""

    departure: Array
    clear: Array
    swing: Array
    smooth: Array
    rough: Array
    burst: Array
    dew: Array
    wind: Array
    wind_hour: Array
    sun_hour: Array


def draw(year: Year, chance: np.random.Generator) -> Draw:
    """The random numbers of one year from its own stream."""
    hours = DAYS * 24
    return Draw(
        departure=departures(year.held, DAYS, chance),
        clear=persistent(number("clear_lag"), DAYS, chance),
        swing=chance.standard_normal(DAYS),
        smooth=_fronts("smooth", hours, chance),
        rough=_fronts("rough", hours, chance),
        burst=persistent(number("burst_lag"), DAYS, chance),
        dew=persistent(number("dew_lag"), DAYS, chance),
        wind=persistent(number("wind_lag"), DAYS, chance),
        wind_hour=persistent(number("wind_hour_lag"), hours, chance),
        sun_hour=persistent(number("sun_lag"), hours, chance),
    )


def _fronts(kind: str, hours: int, chance: np.random.Generator) -> Array:
    """A second-order autoregression whose part beside days' means and courses has variance 1."""
    from scipy.signal import lfilter

    a, b = number(f"{kind}_lag"), number(f"{kind}_lag_2")
    scale = np.sqrt((1.0 - b * b) * (1.0 - a * b) / (1.0 + a * b)) / number(f"{kind}_left")
    return np.asarray(scale * lfilter([1.0], [1.0, -b], persistent(a, hours, chance)))


def fronts(year: Year, drawn: Draw) -> Array:
    """What hours have beside the day's mean and course, over its standard deviation.

    A smooth and a rough part by their shares, strong on some days and weak on most: their
    scale is lognormal and remembers the day before (a stochastic volatility as in Taylor 1986,
    Modelling Financial Time Series, from memory; that the variance of temperature changes from day
    to day is shown by Campbell and Diebold 2005, J. Am. Stat. Assoc. 100:6). With one scale for
    all days the least range of a day is too wide, days' ranges are too alike, and the mean
    course is too flat.
    """
    share = np.repeat(year.smooth, 24)
    both = np.sqrt(share) * drawn.smooth + np.sqrt(1.0 - share) * drawn.rough
    both = both * burst_scale(drawn)
    return np.asarray(both - hours_of(both.reshape(DAYS, 24).mean(axis=1)))


def burst_scale(drawn: Draw) -> Array:
    """How strong each hour's unrest is: lognormal, mean square about 1."""
    s = number("burst")
    return np.asarray(np.exp(s * between_noons(drawn.burst) - s * s))


def clear_days(year: Year, drawn: Draw) -> Array:
    """Clearness of each day."""
    tie = year.clear_tie
    u = tie * drawn.departure + np.sqrt(1.0 - tie * tie) * drawn.clear
    return clearness(year.sun_centre, u)


def temperature(year: Year, drawn: Draw, clear: Array) -> Array:
    """Hourly air temperature, °C: the days' means, the day's own course, and fronts.

    The course is wide on clear days and nearly flat on dull ones; now and then it is upside
    down (a day that ends colder than it began). What an hour has beside it leaves the days'
    means alone.
    """
    day = year.middle_C + year.sd_K * bent(drawn.departure, year.skew)
    unrest = burst_scale(drawn).reshape(DAYS, 24).mean(axis=1)
    swing = year.swing_K * _wide(clear) + year.scatter_K * unrest * drawn.swing
    course = between_noons(swing) * year.shape.ravel()
    return hours_of(day) + course + np.repeat(year.noise_K, 24) * fronts(year, drawn)


def _wide(clear: Array) -> Array:
    """The day's course over that of the clearest day."""
    low, high, least = number("dullest"), number("clearest"), number("swing_dullest")
    return least + (1.0 - least) * (clear - low) / (high - low)


def dew_point(year: Year, drawn: Draw, t_out: Array) -> Array:
    r"""Hourly dew point, °C, no higher than saturation.

    From the day's lowest temperature and how dry the place is (Kimball, Running and Nemani
    1997, Agric. For. Meteorol. 85:87, equation 4 as quoted in public code; kelvin),

    .. math:: T_d = T_n (-0.127 + 1.121 (1.003 - 1.444 E + 12.312 E^2 - 32.766 E^3)
        + 0.0006 (T_x - T_n))

    with E the day's potential evaporation (Hargreaves, FAO Paper 56, equation 52) over the
    year's precipitation.
    """
    days = t_out.reshape(DAYS, 24)
    low, high = days.min(axis=1), days.max(axis=1)
    above = year.sky.above_W.reshape(DAYS, 24).mean(axis=1) * 0.0864 * WATER_MM
    middle = np.maximum(0.5 * (low + high) + 17.8, 0.0)
    dry = 0.0023 * middle * np.sqrt(high - low) * above / year.rain_mm
    dry = np.minimum(dry, 0.05)
    factor = 1.003 - 1.444 * dry + 12.312 * dry**2 - 32.766 * dry**3
    dew = (low + 273.15) * (-0.127 + 1.121 * factor + 0.0006 * (high - low)) - 273.15
    dew = dew + year.dew_shift_K + number("dew_scatter") * drawn.dew
    return np.minimum(between_noons(dew), frost_limit(t_out))


def frost_limit(t_C: Array) -> Array:
    """Highest dew point over water, °C, of air at saturation: over ice where it freezes.

    Saturation over ice less that over water by Magnus formulas (World Meteorological
    Organization, Guide No. 8, annex 4.B, from memory).
    """
    cold = np.minimum(t_C, 0.0)
    share = np.exp(22.46 * cold / (272.62 + cold) - 17.62 * cold / (243.12 + cold))
    return np.minimum(dew_point_of(t_C, share), t_C)


def wind(year: Year, drawn: Draw) -> Array:
    """Hourly wind, m/s: lognormal days, lognormal hours about them, stronger after noon."""
    tie = number("wind_warm")
    z = tie * drawn.departure + np.sqrt(1.0 - tie * tie) * drawn.wind
    day = np.exp(year.wind_log + number("wind_scatter") * z)
    scatter = number("wind_hour")
    hour = np.exp(scatter * drawn.wind_hour - 0.5 * scatter * scatter)
    clock = np.arange(DAYS * 24) % 24 + 0.5
    noon = 1.0 + number("wind_noon") * np.cos(2.0 * np.pi * (clock - WINDIEST_H) / 24.0)
    return np.repeat(day, 24) * hour * noon


def sky_of(year: Year, clear: Array, drawn: Draw) -> tuple[Array, Array]:
    r"""Hourly global sun (W/m²) and cloud (0 to 1).

    Each day's hours scatter about the day's clearness and keep its sum: by
    :math:`0.1557 \sin(\pi K / 0.933)` of the sun above the air, K being the day's sun over that
    above the air, with a correlation of 0.54 from hour to hour (Graham and Hollands 1990, Solar
    Energy 44:333, from memory). Without it too little of the sun would be direct.
    """
    above = year.sky.above_W.reshape(DAYS, 24)
    day = clear[:, None] * year.sky.clear_W.reshape(DAYS, 24)
    total = day.sum(axis=1, keepdims=True)
    lit = np.maximum(above.sum(axis=1, keepdims=True), 1.0)
    scatter = number("sun_scatter") * np.sin(np.pi * np.minimum(total / lit / 0.933, 1.0))
    most = number("clearest") * year.sky.clear_W.reshape(DAYS, 24)
    hours = np.clip(day + scatter * above * drawn.sun_hour.reshape(DAYS, 24), 0.1 * day, most)
    hours = hours * total / np.maximum(hours.sum(axis=1, keepdims=True), 1.0)
    return np.minimum(hours, above).ravel(), between_noons(cloud_of(clear))
