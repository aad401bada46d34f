"""What a table of monthly normals says of a place, in SI."""

from __future__ import annotations

from dataclasses import dataclass

from greenhouse_sim.tables.read import read_keyed

Months = tuple[float, ...]
"""Twelve values, January to December."""


@dataclass(frozen=True)
class Variation:
    """How days and seasons differ from the normals. What is None has a default."""

    daily_sd_K: Months | None = None
    """Standard deviation of daily mean temperature about the season's course."""
    lags: tuple[float, ...] | None = None
    """Correlation of that departure with itself one, two, three... days before."""
    season_share: float | None = None
    """Share of its variance in the slow, season-long part."""
    skew_winter: float | None = None
    skew_summer: float | None = None
    clear_winter: float | None = None
    """Correlation of clearness with the departure in midwinter."""
    clear_summer: float | None = None
    hour_noise_winter: float | None = None
    """What an hour has beside the day's mean and course, over the mean daily range."""
    hour_noise_summer: float | None = None
    hour_lag_winter: float | None = None
    """Correlation of that with itself one hour before, in midwinter."""
    hour_lag_summer: float | None = None
    swing_sd_K: Months | None = None
    """Standard deviation of highest less lowest of the days' own courses."""


@dataclass(frozen=True)
class Normals:
    """Monthly normals of a place."""

    name: str
    site: str
    latitude: float
    longitude: float
    elevation_m: float
    utc_offset_h: float
    mean_max_C: Months
    """Mean of the days' highest temperatures."""
    mean_min_C: Months
    """Mean of the days' lowest temperatures."""
    record_low_C: Months | None = None
    record_years: float | None = None
    radiation_W: Months | None = None
    """Mean global sun on the horizontal, day and night, W/m²."""
    sun_h: Months | None = None
    """Hours of sunshine a day."""
    cloud: Months | None = None
    """Mean share of the sky under cloud."""
    wind_m_s: Months | None = None
    t_dew_C: Months | None = None
    precipitation_mm: Months | None = None
    """Of the whole month."""
    variation: Variation = Variation()
    count: int = 30
    """How many winters to make."""
    seed: int = 1
    notes: tuple[str, ...] = ()

    @property
    def northern(self) -> bool:
        """True where the winter is around New Year."""
        return self.latitude >= 0.0


def number(key: str) -> float:
    """A number of the normals table, in the table's unit."""
    return read_keyed("normals")[key].number
