"""Take the numbers of the generator from a measured record.

Monthly means, standard deviations and lag correlations are those of the record. How much
seasons differ is known badly from few winters (the variance of five has a relative error of
70 %), so the record's answer and the default's are averaged, weighted by their seasons (the
table's ``prior_seasons``); the skewness likewise by independent days (``prior_days``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.normals import Normals, Variation, number
from greenhouse_sim.weather.normals_curves import (
    MONTHS,
    coldest_day,
    course,
    days_of,
    harmonics,
    month_means,
)
from greenhouse_sim.weather.normals_daily import Memory, mean_variance, memory
from greenhouse_sim.weather.normals_shape import daily_course, swing_of
from greenhouse_sim.weather.weather import Weather

Array = np.ndarray
LAGS = 3
SEASON = 90
"""Days whose mean tells how seasons differ."""
COLD_HALF_DAYS = 46
"""Days on each side of the coldest whose departures give lags and winter skewness."""
LARGEST_SHARE = 0.5
LARGEST_NOISE = 0.5
LEAST_NOISE_K = 1e-3
LEAST_SWING_SD = 0.1
YEAR = 365


@dataclass(frozen=True)
class Measured:
    """Whole days of a record; arrays are hourly, shape (days, 24)."""

    name: str
    site: str
    place: tuple[float, float, float, float]
    """Latitude, longitude, elevation (m), offset from universal time (h)."""
    first: np.datetime64
    t_out_C: Array
    t_dew_C: Array | None = None
    wind_m_s: Array | None = None
    ghi_W: Array | None = None
    spliced: bool = False
    """Made of months from different years, as typical years are."""

    @property
    def years(self) -> float:
        """Length of the record."""
        return len(self.t_out_C) / 365.25


def measured(record: Weather, spliced: bool | None = None) -> Measured:
    """The whole days of a weather record.

    Parameters
    ----------
    spliced
        Whether the record is a typical year; by default one year or less is taken as one.
    """
    skip = -record.start.hour % 24
    days = (record.hours - skip) // 24
    if days < 1:
        raise WeatherError(f"weather {record.name}: has no whole day to take normals from")
    cut = slice(skip, skip + 24 * days)
    columns = {
        key: getattr(record, key)[cut].reshape(days, 24)
        for key in ("t_out_C", "t_dew_C", "wind_m_s", "ghi_W")
    }
    return Measured(
        name=record.name,
        site=record.site,
        place=(record.latitude, record.longitude, record.elevation_m, record.utc_offset_h),
        first=(np.datetime64(record.start, "h") + skip).astype("datetime64[D]"),
        spliced=days <= YEAR + 1 if spliced is None else spliced,
        **columns,
    )


def fit(record: Measured) -> Normals:
    """Normals and variation of a record of at least a year.

    Raises
    ------
    WeatherError
        A month that the record lacks.
    """
    of_year, month = days_of(record.first, len(record.t_out_C))
    for m, name in enumerate(MONTHS, start=1):
        if (month == m).sum() < 25:
            raise WeatherError(
                f"weather {record.name}: has fewer than 25 days of {name}; give at least one "
                "whole year, better ten"
            )
    middle = month_means(record.t_out_C.mean(axis=1), month)
    high, low = record.t_out_C.max(axis=1), record.t_out_C.min(axis=1)
    variation, notes = _variation(record, of_year, month, coldest_day(middle))
    latitude, longitude, elevation_m, utc_offset_h = record.place
    return Normals(
        name=record.name,
        site=record.site,
        latitude=latitude,
        longitude=longitude,
        elevation_m=elevation_m,
        utc_offset_h=utc_offset_h,
        mean_max_C=tuple(map(float, month_means(high, month))),
        mean_min_C=tuple(map(float, month_means(low, month))),
        radiation_W=_months(record.ghi_W, month),
        wind_m_s=_months(record.wind_m_s, month),
        t_dew_C=_months(record.t_dew_C, month),
        variation=variation,
        notes=tuple(notes),
    )


def _months(values: Array | None, month: Array) -> tuple[float, ...] | None:
    if values is None:
        return None
    return tuple(map(float, month_means(values.mean(axis=1), month)))


def _variation(
    record: Measured, of_year: Array, month: Array, coldest: float
) -> tuple[Variation, list[str]]:
    day = record.t_out_C.mean(axis=1)
    columns = harmonics(of_year)
    departure = day - columns @ np.linalg.lstsq(columns, day, rcond=None)[0]
    sd = np.array([np.std(departure[month == m]) for m in range(1, 13)])
    standard = departure / course(sd, of_year)
    winter = np.abs((of_year - coldest + 182.6) % 365.25 - 182.6) < COLD_HALF_DAYS
    summer = np.abs((of_year - coldest) % 365.25 - 182.6) < COLD_HALF_DAYS
    lags = tuple(_lag(standard, winter, k) for k in range(1, LAGS + 1))
    share, notes = _share(record, standard, lags)
    clear = _clear_ties(record, standard, winter, summer)
    wide = np.ptp(record.t_out_C, axis=1)
    latitude, longitude, _, offset = record.place
    days = record.first + np.arange(len(wide))
    swing, left = swing_of(record.t_out_C, daily_course(days, (latitude, longitude, offset)))
    noise = [_noise(left[chosen], wide[chosen]) for chosen in (winter, summer)]
    return Variation(
        daily_sd_K=tuple(map(float, sd)),
        lags=lags,
        season_share=share,
        skew_winter=_skew(standard[winter], lags[0], number("skew_winter")),
        skew_summer=_skew(standard[summer], lags[0], number("skew_summer")),
        clear_winter=clear[0],
        clear_summer=clear[1],
        hour_noise_winter=noise[0][0],
        hour_noise_summer=noise[1][0],
        hour_lag_winter=noise[0][1],
        hour_lag_summer=noise[1][1],
        swing_sd_K=tuple(
            max(float(np.std(swing[month == m])), LEAST_SWING_SD) for m in range(1, 13)
        ),
    ), notes


def _noise(left: Array, wide: Array) -> tuple[float, float]:
    """What hours have beside their days' means and courses: over the mean daily range, and its lag.

    The lag is the correlation of an hour with the hour before within the same day.
    """
    if left.std() < LEAST_NOISE_K:
        return 0.0, number("hour_lag_winter")
    lag = np.corrcoef(left[:, 1:].ravel(), left[:, :-1].ravel())[0, 1]
    noise = min(left.std() / wide.mean() / number("hour_noise_left"), LARGEST_NOISE)
    return float(noise), float(np.clip(lag, 0.0, 1.0))


def _lag(standard: Array, chosen: Array, k: int) -> float:
    """Correlation of chosen days with the days k before them."""
    later = chosen[k:]
    return float(np.corrcoef(standard[k:][later], standard[:-k][later])[0, 1])


def _skew(z: Array, lag: float, usual: float) -> float:
    z = (z - z.mean()) / z.std()
    days = len(z) * (1.0 - lag) / (1.0 + lag)
    weight = days / (days + number("prior_days"))
    return float(np.clip(weight * np.mean(z**3) + (1.0 - weight) * usual, -0.9, 0.9))


def _share(record: Measured, standard: Array, lags: tuple[float, ...]) -> tuple[float, list[str]]:
    """The share of the slow part: what gives season means their variance."""
    usual = number("season_share")
    seasons = len(standard) // SEASON
    years = round(record.years)
    if record.spliced or years < 2:
        return _possible(lags, usual), [
            f"how much winters differ cannot be known from {record.name} (one year, or a typical "
            f"one): a season share of {usual:g} taken"
        ]
    means = standard[: seasons * SEASON].reshape(seasons, SEASON).mean(axis=1)
    freedom = seasons * (years - 1) / years
    seen = float(np.sum(means * means)) / freedom
    prior = number("prior_seasons")
    expected = mean_variance(_held(lags, _possible(lags, usual)), SEASON)
    variance = (freedom * seen + prior * expected) / (freedom + prior)
    shares = [s for s in np.linspace(0.0, LARGEST_SHARE, 101) if _fits(lags, s)]
    off = [abs(mean_variance(_held(lags, s), SEASON) - variance) for s in shares]
    return float(shares[int(np.argmin(off))]), []


def _held(lags: tuple[float, ...], share: float) -> Memory:
    return memory(lags, share, number("season_days"))


def _fits(lags: tuple[float, ...], share: float) -> bool:
    try:
        _held(lags, share)
    except ValueError:
        return False
    return True


def _possible(lags: tuple[float, ...], share: float) -> float:
    """The share, or the largest below it that these lags allow."""
    while share > 0.0 and not _fits(lags, share):
        share = max(share - 0.005, 0.0)
    return share


def _clear_ties(
    record: Measured, standard: Array, winter: Array, summer: Array
) -> tuple[float | None, float | None]:
    """Correlation of clearness with the departure, where the record knows the sun."""
    if record.ghi_W is None or float(record.ghi_W.max()) <= 0.0:
        return None, None
    from greenhouse_sim.weather.normals_sun import sky_over

    hours = record.first.astype("datetime64[s]") + np.arange(record.ghi_W.size) * np.timedelta64(
        3600, "s"
    )
    latitude, longitude, _, offset = record.place
    clear = sky_over(hours, (latitude, longitude, offset)).clear_W.reshape(-1, 24).mean(axis=1)
    lit = clear > 5.0
    ratio = np.where(lit, record.ghi_W.mean(axis=1) / np.where(lit, clear, 1.0), 0.0)
    cold, warm = winter & lit, summer & lit
    return _tie(standard[cold], ratio[cold]), _tie(standard[warm], ratio[warm])


def _tie(standard: Array, ratio: Array) -> float | None:
    if len(ratio) < 30 or ratio.std() <= 0.0:
        return None
    return float(np.clip(np.corrcoef(standard, ratio)[0, 1], -0.9, 0.9))
