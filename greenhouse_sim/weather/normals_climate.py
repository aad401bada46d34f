"""What a table of normals says of every day of the year: the generator's numbers in place."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from greenhouse_sim.weather.limits import number as weather_number
from greenhouse_sim.weather.normals import Normals, number
from greenhouse_sim.weather.normals_curves import (
    MONTH_DAYS,
    between,
    coldest_day,
    course,
    days_of,
    half_swing,
)
from greenhouse_sim.weather.normals_daily import Memory, bent, memory
from greenhouse_sim.weather.normals_shape import daily_course
from greenhouse_sim.weather.normals_sun import Sky, centre, mean_sun_W, sky_over

Array = np.ndarray
DAYS = 366
FIRST_YEAR = 2001
"""Year in which the first winter that is made begins."""
FIRST_SCATTER = 0.7
"""Scatter of the days' courses over their whole spread, before `settle` corrects it."""


@dataclass(frozen=True)
class Year:
    """A year from midsummer to midsummer at a place; arrays are daily, shape (366,)."""

    month: Array
    of_year: Array
    middle_C: Array
    """Mean of highest and lowest."""
    range_K: Array
    """Mean of highest less lowest."""
    swing_K: Array
    """Highest less lowest of the day's own course on the clearest day."""
    scatter_K: Array
    """Standard deviation of that course that neither clearness nor fronts give."""
    swing_sd_K: Array
    """Standard deviation of highest less lowest of a day's own course, in all."""
    noise_K: Array
    """Standard deviation of what an hour has beside the day's mean and course."""
    smooth: Array
    """Share of the smooth part in it, the rest being rough."""
    sd_K: Array
    skew: Array
    clear_tie: Array
    """Correlation of clearness with the departure."""
    sun_centre: Array
    wind_log: Array
    """Mean of the logarithm of the daily wind in m/s."""
    dew_shift_K: Array
    shape: Array
    """Course of each day's temperature, shape (366, 24)."""
    sky: Sky
    held: Memory
    rain_mm: float


def first_day(normals: Normals, number_of: int) -> np.datetime64:
    """First day of a made winter's year: midsummer before it."""
    year = FIRST_YEAR + number_of
    return np.datetime64(f"{year}-07-01" if normals.northern else f"{year}-01-01", "D")


def year_of(normals: Normals, number_of: int) -> tuple[Year, list[str]]:
    """The year of a made winter, with notes on what was assumed.

    Raises
    ------
    WeatherError
        More sun than there can be.
    """
    first = first_day(normals, number_of)
    of_year, month = days_of(first, DAYS)
    days = first + np.arange(DAYS)
    place = (normals.latitude, normals.longitude, normals.utc_offset_h)
    stamps = first.astype("datetime64[s]") + np.arange(DAYS * 24) * np.timedelta64(3600, "s")
    sky = sky_over(stamps, place)
    sun, note = mean_sun_W(normals, sky, days, month)
    notes = [note] if note else []
    middle = 0.5 * (np.asarray(normals.mean_max_C) + np.asarray(normals.mean_min_C))
    coldest = coldest_day(middle)
    chosen = normals.variation
    skew = between(
        _or(chosen.skew_winter, "skew_winter"), _or(chosen.skew_summer, "skew_summer"),
        of_year, coldest,
    )  # fmt: skip
    wide = _positive(np.asarray(normals.mean_max_C) - np.asarray(normals.mean_min_C), of_year)
    if chosen.swing_sd_K is not None:
        swing_sd = _positive(np.asarray(chosen.swing_sd_K), of_year)
    else:
        swing_sd = wide * between(
            number("swing_sd_winter"), number("swing_sd_summer"), of_year, coldest
        )
    year = Year(
        month=month,
        of_year=of_year,
        middle_C=course(middle, of_year),
        range_K=wide,
        swing_K=wide,
        scatter_K=FIRST_SCATTER * swing_sd,
        swing_sd_K=swing_sd,
        noise_K=number("hour_noise_left") * wide
        * between(
            _or(chosen.hour_noise_winter, "hour_noise_winter"),
            _or(chosen.hour_noise_summer, "hour_noise_summer"),
            of_year, coldest,
        ),
        smooth=smooth_share(
            between(
                _or(chosen.hour_lag_winter, "hour_lag_winter"),
                _or(chosen.hour_lag_summer, "hour_lag_summer"),
                of_year, coldest,
            )
        ),
        sd_K=_daily_sd(normals, middle, coldest, of_year, skew, notes),
        skew=skew,
        clear_tie=between(
            _or(chosen.clear_winter, "clear_winter"), _or(chosen.clear_summer, "clear_summer"),
            of_year, coldest,
        ),
        sun_centre=centre(sun, sky, month, of_year),
        wind_log=_wind_log(normals, of_year, notes),
        dew_shift_K=np.zeros(DAYS),
        shape=daily_course(days, place),
        sky=sky,
        held=held_memory(normals),
        rain_mm=_rain(normals, notes),
    )  # fmt: skip
    return year, notes


def held_memory(normals: Normals) -> Memory:
    """The memory of the table's lags and season share, or the default's."""
    chosen = normals.variation
    lags = chosen.lags or tuple(number(f"lag_{k}") for k in (1, 2, 3))
    return memory(lags, _or(chosen.season_share, "season_share"), number("season_days"))


def smooth_share(lag: Array) -> Array:
    """Share of the smooth part in what hours have, from its correlation from hour to hour."""
    rough, smooth = number("rough_seen"), number("smooth_seen")
    return np.clip((lag - rough) / (smooth - rough), 0.0, 1.0)


def _or(value: float | None, key: str) -> float:
    return number(key) if value is None else value


def _positive(months: Array, of_year: Array) -> Array:
    """A course that stays over a quarter of the least month."""
    return np.maximum(course(months, of_year), 0.25 * float(np.min(months)))


def _daily_sd(
    normals: Normals, middle: Array, coldest: float, of_year: Array, skew: Array, notes: list[str]
) -> Array:
    given = normals.variation.daily_sd_K
    if given is not None:
        return _positive(np.asarray(given), of_year)
    if normals.record_low_C is not None:
        years = _or(normals.record_years, "record_years")
        notes.append(
            "spread of daily temperatures made from the record lows, taken as those of "
            f"{years:g} years: good to 20 %"
        )
        return _positive(sd_of_records(normals, years, skew, of_year), of_year)
    notes.append(
        "no daily_sd and no record_low: spread of daily temperatures taken from how far winter "
        "is from summer (six stations), good to 0.6 K"
    )
    swing = half_swing(middle)
    winter = number("sd_winter") + number("sd_winter_slope") * swing
    summer = number("sd_summer") + number("sd_summer_slope") * swing
    return between(winter, summer, of_year, coldest)


def sd_of_records(normals: Normals, years: float, skew: Array, of_year: Array) -> Array:
    """Standard deviation of daily means of each month from its record low, K, shape (12,).

    The lowest of n normal numbers lies z = Phi^-1(0.5264^(1/n)) standard deviations below
    their mean (Chen and Tyler 1999, from memory); n is thirty days a year, since what days share
    with their neighbours hardly moves an extreme. The skewness bends z as it bends the days;
    the spread of daily minima is a little wider than that of daily means.
    """
    from scipy.special import ndtri

    z = float(ndtri(0.5264 ** (1.0 / (years * 30.0))))
    middle = np.cumsum(MONTH_DAYS) - 15.0
    order = np.argsort(of_year)
    monthly_skew = np.interp(middle, of_year[order], skew[order])
    below = -bent(np.full(12, -z), monthly_skew)
    fall = np.asarray(normals.mean_min_C) - np.asarray(normals.record_low_C)
    return np.asarray(fall / below / number("record_sd_ratio"))


def _wind_log(normals: Normals, of_year: Array, notes: list[str]) -> Array:
    if normals.wind_m_s is None:
        wind = np.full(DAYS, weather_number("wind_unknown"))
        notes.append(f"no wind: {wind[0]:g} m/s taken as its mean (FAO Paper 56, chapter 3)")
    else:
        wind = _positive(np.asarray(normals.wind_m_s), of_year)
    scatter = number("wind_scatter")
    return np.log(np.maximum(wind, 0.1)) - 0.5 * scatter * scatter


def _rain(normals: Normals, notes: list[str]) -> float:
    if normals.precipitation_mm is not None:
        return max(float(sum(normals.precipitation_mm)), 80.0)
    if normals.t_dew_C is None:
        notes.append(
            "no dew point: made from the daily minimum (Kimball, Running and Nemani 1997), "
            f"with {number('rain_year'):g} mm of rain a year"
        )
    return number("rain_year")


def shifted(year: Year, middle_K: Array, swing_K: Array, scatter_K: Array, dew_K: Array) -> Year:
    """The same year with middle, swing, scatter (never below zero) and dew point moved, by day."""
    return replace(
        year,
        middle_C=year.middle_C + middle_K,
        swing_K=np.maximum(year.swing_K + swing_K, 0.0),
        scatter_K=np.maximum(year.scatter_K + scatter_K, 0.0),
        dew_shift_K=year.dew_shift_K + dew_K,
    )
