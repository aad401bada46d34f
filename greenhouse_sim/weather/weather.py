"""One weather record: contiguous hours at one place, complete and checked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.limits import limits

Array = np.ndarray

KNOWN = ("t_out_C", "t_dew_C", "pressure_Pa", "wind_m_s", "ghi_W", "dni_W", "dhi_W")
"""Quantities known in every hour."""

PERHAPS = ("cloud", "ir_down_W", "snow_m")
"""Quantities that are nan where unknown."""

YEARS = (1800, 2200)
"""First and last year of a record."""

PLACE = ("latitude", "longitude", "elevation_m", "utc_offset_h")


class Gap(NamedTuple):
    """A stretch too long to fill: its hours hold stand-ins, and no winter is cut from them."""

    first: int
    """Place of its first hour in the arrays."""
    stop: int
    """One past its last."""
    what: str
    """What was missing: a column's name, or "rows"."""


@dataclass(frozen=True, eq=False)
class Weather:
    """Hourly weather, hour-starting, in local standard time.

    Arrays are float64, contiguous, read-only and of shape (hours,); each value
    is the mean of the hour that begins at its stamp.

    Raises
    ------
    WeatherError
        An array of another length, a value missing where one is needed, or a
        value outside what the limits table holds possible.
    """

    name: str
    """The file's stem, or "1998-99" for a winter out of a record of several."""
    site: str
    start: datetime
    """Local standard time at the beginning of the first hour, without a zone."""
    utc_offset_h: float
    latitude: float
    longitude: float
    elevation_m: float
    t_out_C: Array
    """Dry-bulb temperature, °C."""
    t_dew_C: Array
    """Dew point over liquid water, °C."""
    pressure_Pa: Array
    """Station pressure, Pa."""
    wind_m_s: Array
    """Wind at 10 m over open land, m/s."""
    ghi_W: Array
    """Global sun on the horizontal, W/m²."""
    dni_W: Array
    """Direct sun on a plane that faces it, W/m²."""
    dhi_W: Array
    """Diffuse sun on the horizontal, W/m²."""
    cloud: Array
    """Share of the sky under cloud, 0 to 1; nan where unknown."""
    ir_down_W: Array
    """Infrared radiation of the sky on the horizontal, W/m²; nan where unknown."""
    snow_m: Array
    """Snow depth, m; nan where unknown."""
    notes: tuple[str, ...] = ()
    """What was filled, assumed, wrapped."""
    source: str = ""
    synthetic: bool = False
    gaps: tuple[Gap, ...] = ()
    """Where needed values were missing for longer than is filled."""

    def __post_init__(self) -> None:
        """Freeze the arrays, then check them."""
        object.__setattr__(self, "notes", tuple(self.notes))
        if self.start.tzinfo is not None:
            raise WeatherError(f"weather {self.name}: start must be local standard time, no zone")
        if (self.start.minute, self.start.second, self.start.microsecond) != (0, 0, 0):
            raise WeatherError(f"weather {self.name}: start must be a full hour, not {self.start}")
        if not YEARS[0] <= self.start.year <= YEARS[1]:
            raise WeatherError(f"weather {self.name}: {self.start.year} is not a year of weather")
        for key in PLACE:
            value = float(getattr(self, key))
            object.__setattr__(self, key, value)
            allowed = limits()[key]
            if not allowed.low <= value <= allowed.high:
                raise WeatherError(
                    f"weather {self.name}: {allowed.words} {value:g} is impossible; "
                    f"it lies between {allowed.low:g} and {allowed.high:g} {allowed.unit}"
                )
        for key in KNOWN + PERHAPS:
            object.__setattr__(self, key, _frozen(getattr(self, key)))
            self._check(key)

    def _check(self, key: str) -> None:
        values: Array = getattr(self, key)
        if values.shape != (len(self.t_out_C),) or not len(values):
            raise WeatherError(
                f"weather {self.name}: {key} has shape {values.shape}, "
                f"t_out_C has {len(self.t_out_C)} hours; give every array one value an hour"
            )
        allowed = limits()[key]
        good = (values >= allowed.low) & (values <= allowed.high)
        if key in PERHAPS:
            good |= np.isnan(values)
        if not good.all():
            hour = int(np.argmin(good))
            raise WeatherError(
                f"weather {self.name}: {key} is {values[hour]:g} at {self.times()[hour]}; "
                f"{allowed.words} lies between {allowed.low:g} and {allowed.high:g} {allowed.unit}"
            )

    @property
    def hours(self) -> int:
        """Length of the record, h."""
        return len(self.t_out_C)

    def times(self) -> Array:
        """Beginning of each hour, local standard time: datetime64[s], shape (hours,)."""
        return np.datetime64(self.start, "s") + np.arange(self.hours) * np.timedelta64(3600, "s")

    def columns(self) -> dict[str, Array]:
        """Every hourly array by its name."""
        return {key: getattr(self, key) for key in KNOWN + PERHAPS}

    def __repr__(self) -> str:
        """A line instead of ten arrays."""
        return f"Weather({self.name!r}, {self.site!r}, {self.start} on, {self.hours} h)"


def checked_before(fields: Mapping[str, Any]) -> Weather:
    """A record all of whose fields were those of a record: not checked and copied once more."""
    weather = object.__new__(Weather)
    for name, value in fields.items():
        if isinstance(value, np.ndarray):
            value.setflags(write=False)
        object.__setattr__(weather, name, value)
    return weather


def _frozen(values: Array) -> Array:
    array = np.ascontiguousarray(values, dtype=np.float64)
    if array.flags.writeable:
        array = array.copy() if array is values else array
        array.setflags(write=False)
    return array
