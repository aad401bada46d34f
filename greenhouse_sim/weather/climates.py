"""Two invented places and their winters: every number here is made up for the demo.

They are shaped after what a cold continental plain and a mild wet coast are
like, but describe no real place and no real winter.
"""

from __future__ import annotations

from typing import NamedTuple


class Climate(NamedTuple):
    """What makes the weather of an invented place."""

    site: str
    latitude: float
    longitude: float
    elevation_m: float
    utc_offset_h: float
    mean_C: float
    """Mean of the year."""
    swing_C: float
    """Amplitude of the yearly harmonic."""
    coldest_day: float
    """Day of the year of the harmonic's minimum."""
    spread_C: float
    """Standard deviation of daily means in midwinter, within one winter."""
    spread_summer_C: float
    cold_stretch: float
    """How much further than the rest the coldest departures of midwinter go, share."""
    range_C: float
    """Daily range under a clear sky at the equinox."""
    cloudy: float
    """Shift of the cloud process: 0 is half of the sky, more is cloudier."""
    cloudy_winter: float
    """More of that in midwinter."""
    cold_is_clear: float
    """Correlation of cloud with daily temperature in midwinter."""
    wind_scale: float
    """Weibull scale of the wind, m/s."""
    wind_shape: float
    dry_clear_K: float
    """Dew point depression under a clear sky at 10 °C."""
    dry_cloud_K: float
    """Dew point depression under full cloud at 10 °C."""


class Winter(NamedTuple):
    """One winter of a place."""

    kind: str
    offset_C: float
    """How much warmer or colder than the climate the whole season is."""
    number: int
    """Starts the random numbers."""


TAMARACK_FLATS = Climate(
    site="Tamarack Flats (invented)",
    latitude=46.9,
    longitude=-97.1,
    elevation_m=300.0,
    utc_offset_h=-6.0,
    mean_C=4.2,
    swing_C=17.2,
    coldest_day=20.0,
    spread_C=6.6,
    spread_summer_C=3.2,
    cold_stretch=0.25,
    range_C=16.0,
    cloudy=0.0,
    cloudy_winter=0.05,
    cold_is_clear=0.45,
    wind_scale=5.3,
    wind_shape=2.0,
    dry_clear_K=9.0,
    dry_cloud_K=2.0,
)

SELKIE_SOUND = Climate(
    site="Selkie Sound (invented)",
    latitude=49.1,
    longitude=-124.0,
    elevation_m=15.0,
    utc_offset_h=-8.0,
    mean_C=9.8,
    swing_C=6.7,
    coldest_day=15.0,
    spread_C=2.5,
    spread_summer_C=1.8,
    cold_stretch=1.2,
    range_C=9.5,
    cloudy=0.25,
    cloudy_winter=0.4,
    cold_is_clear=0.5,
    wind_scale=4.2,
    wind_shape=1.8,
    dry_clear_K=5.5,
    dry_cloud_K=1.5,
)

PLACES = {
    "tamarack_flats": (
        TAMARACK_FLATS,
        (Winter("mild", 3.2, 10), Winter("typical", 0.0, 16), Winter("severe", -2.8, 9)),
    ),
    "selkie_sound": (
        SELKIE_SOUND,
        (Winter("mild", 1.0, 35), Winter("typical", 0.0, 15), Winter("severe", -1.6, 11)),
    ),
}

FIRST_YEAR = 2025
"""Year in which the invented winters start: 29 February is in none of them."""
