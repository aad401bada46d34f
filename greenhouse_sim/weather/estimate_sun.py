"""Global sun where a file has none: from the day's range of temperature, or from cloud."""

from __future__ import annotations

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.tables.read import read_keyed
from greenhouse_sim.weather import day
from greenhouse_sim.weather.limits import number
from greenhouse_sim.weather.rows import Rows

Array = np.ndarray
FROM_RANGE, FROM_CLOUD = "temperature range", "cloud"
WAYS = (FROM_RANGE, FROM_CLOUD)
MOST_UNKNOWN = 0.1
"""Share of hours whose cloud may be unknown; the record's mean stands in (judgement)."""


def _said(key: str) -> float:
    return read_keyed("weather_estimates")[key].number


def error_words(key: str) -> str:
    """The span of an error as it was found: "28 to 47"."""
    row = read_keyed("weather_estimates")[key]
    return f"{row.low} to {row.high}"


def read_sun_from(text: str, where: str) -> str:
    """One of `WAYS`, or nothing where nothing is written.

    Raises
    ------
    WeatherError
        Another text.
    """
    words = " ".join(text.replace("_", " ").lower().split())
    if words and words not in WAYS:
        raise WeatherError(f"{where}: {text[:40]!r} is unknown; write {' or '.join(WAYS)}")
    return words


def estimate(rows: Rows) -> None:
    """Give rows their global sun in the way that ``rows.sun_from`` names, and tell the error.

    Raises
    ------
    WeatherError
        The way needs cloud and the file has none.
    """
    place = (rows.latitude, rows.longitude, rows.utc_offset_h)
    if rows.sun_from == FROM_CLOUD:
        rows.columns["ghi_W"] = from_cloud(_known_cloud(rows), rows.stamps, place)
        rows.notes.append(
            "WARNING: no sun in the file: estimated from cloud (Kasten and Czeplak 1980); where it "
            f"was tried an hour was off by {error_words('cloud_hour_error')} W/m² (RMS) and a "
            f"winter's sum {error_words('cloud_winter_shortfall')} % too low"
        )
        return
    rows.columns["ghi_W"] = from_range(
        rows.columns["t_out_C"], rows.stamps, place, rows.elevation_m
    )
    rows.notes.append(
        "WARNING: no sun in the file: estimated from the day's temperature range (Hargreaves and "
        "Samani, FAO Paper 56); where it was tried a day's mean was off by "
        f"{error_words('range_day_error')} W/m² (RMS) and a winter's sum by "
        f"{error_words('range_winter_error')} %; by a warm sea, on days of measured sun, by "
        f"{_said('range_sea_day_error'):g} W/m² and {_said('range_sea_shortfall'):g} % too low"
    )


def from_range(
    t_out_C: Array, stamps: Array, place: tuple[float, float, float], elevation_m: float
) -> Array:
    """Hourly global sun, W/m², from each day's highest and lowest temperature.

    Daily mean H = k √(Tmax - Tmin) Ra, at most (0.75 + 2e-5 z) Ra of a clear day: FAO
    Irrigation and Drainage Paper 56 (Allen et al. 1998), equations 50 and 37; k is
    0.16 / √K inland. Ra is the sun above the air. Spread over the day by `day.spread_over_day`.

    The other usual method, H = A (1 - exp(-B ΔT^C)) Ra (Bristow and Campbell 1984, Agric. For.
    Meteorol. 31:159, with A = 0.7, B = 0.036 exp(-0.154 of the month's mean ΔT), C = 2.4), was
    tried on the same six years: its days were further off at five, by 4 to 9 W/m² RMS, and
    0.6 W/m² nearer at Denver.

    Parameters
    ----------
    t_out_C
        Hourly temperature, °C, shape (hours,).
    stamps
        Beginnings of the hours, local standard time.
    place
        Latitude, longitude (degrees) and offset from universal time (h).
    elevation_m
        Height above the sea, m.
    """
    _, member = day.days_of(stamps)
    outside, _ = day.outside_sun_W(stamps, *place)
    mean = np.bincount(member, outside) / np.bincount(member)
    edges = np.flatnonzero(np.diff(member, prepend=-1))
    span = np.maximum.reduceat(t_out_C, edges) - np.minimum.reduceat(t_out_C, edges)
    clear = _said("clear_share") + _said("clear_share_per_m") * elevation_m
    share = np.minimum(_said("range_k") * np.sqrt(span), clear)
    return day.spread_over_day(share * mean, stamps, *place)


def from_cloud(cloud: Array, stamps: Array, place: tuple[float, float, float]) -> Array:
    """Hourly global sun, W/m², from cloud cover N (0 to 1) and the height γ of the sun.

    G = max(910 sin γ - 30, 0) (1 - 0.75 N^3.4): Kasten and Czeplak 1980, Solar Energy 24:177.
    """
    _, sine = day.outside_sun_W(stamps, *place)
    clear = np.clip(_said("clear_sun") * sine + _said("clear_sun_offset"), 0.0, None)
    return clear * (1.0 - number("cloud_shade") * cloud ** number("cloud_power"))


def _known_cloud(rows: Rows) -> Array:
    cloud = rows.columns.get("cloud")
    unknown = 1.0 if cloud is None else float(np.isnan(cloud).mean())
    if cloud is None or unknown > MOST_UNKNOWN:
        raise WeatherError(
            f"{rows.path}: the sun is to be estimated from cloud, but {unknown:.0%} of the hours "
            f'have no cloud; write "{FROM_RANGE}" in its place'
        )
    if unknown > 0.0:
        rows.notes.append(f"cloud unknown in {unknown:.1%} of hours: its mean taken for the sun")
    return np.where(np.isnan(cloud), np.nanmean(cloud), cloud)
