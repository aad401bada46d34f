"""A season hour by hour as plain arrays, for the pictures.

`Season.trace` holds the same as a table; making one takes longer than drawing it, and so does
loading the library for it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from greenhouse_sim.season.run import Season

Array = np.ndarray
DAY = np.timedelta64(24, "h")


@dataclass(frozen=True, eq=False)
class Hours:
    """Some columns of a season's trace."""

    times: Array
    """Beginning of each hour, local standard time: datetime64[s], shape (hours,)."""
    columns: Mapping[str, Array]
    """By their names in `Season.trace`, each of shape (hours,)."""

    def __getitem__(self, name: str) -> Any:
        """A column, an array; `Units` says of numbers alone that it takes them."""
        return self.columns[name]

    def part(self, first: int, last: int) -> Hours:
        """The hours from ``first`` up to ``last``."""
        columns = {name: values[first:last] for name, values in self.columns.items()}
        return Hours(self.times[first:last], columns)

    def copy(self) -> Hours:
        """The same in arrays of its own: the season's need not be kept for it."""
        columns = {name: values.copy() for name, values in self.columns.items()}
        return Hours(self.times, columns)

    def when(self, hour: int) -> Any:
        """The beginning of an hour, a `datetime`; the library's types know of no dates."""
        return self.times[hour].item()


def hours(season: Season, *names: str) -> Hours:
    """Columns of a season that was run with its hourly trace."""
    drive = {"out_C": "t_out", "setpoint_C": "setpoint"}
    columns = {
        name: getattr(season.drive, drive[name]) if name in drive else season.column(name)
        for name in names
    }
    return Hours(season.weather.times(), columns)


class Days(NamedTuple):
    """Low, high and mean of each day, arrays of shape (days,)."""

    low: Array
    high: Array
    mean: Array


def days_of(times: Array) -> tuple[Array, Array]:
    """The days that hours fall on (midnights), and the place of the first hour of each."""
    dates = times.astype("datetime64[D]")
    firsts = np.flatnonzero(np.concatenate([[True], dates[1:] != dates[:-1]]))
    return dates[firsts].astype("datetime64[s]"), firsts


def by_day(values: Any, firsts: Array) -> Days:
    """Hourly values day by day."""
    counts = np.diff(np.append(firsts, len(values)))
    return Days(
        np.minimum.reduceat(values, firsts),
        np.maximum.reduceat(values, firsts),
        np.add.reduceat(values, firsts) / counts,
    )
