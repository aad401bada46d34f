"""From twelve monthly values to a smooth course over the year.

A mean and a few harmonics of the year (Richardson 1981, Water Resour. Res. 17:182), chosen so
that the *averages over the months* come out, not the values in their middle; and what so few
waves cannot follow (normals rounded to whole degrees, means of a few years) as straight lines
from the middle of each month to the next.
"""

from __future__ import annotations

import functools
import itertools
from collections.abc import Callable, Sequence

import numpy as np

Array = np.ndarray
MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
HARMONICS = 4
YEAR = 365.25


def harmonics(day_of_year: Array, count: int = HARMONICS) -> Array:
    """Columns 1, cos, sin, cos 2... of the year, shape (days, 1 + 2 count).

    Parameters
    ----------
    day_of_year
        1 on 1 January.
    """
    angle = 2.0 * np.pi * (day_of_year - 0.5) / YEAR
    waves = [wave(k * angle) for k in range(1, count + 1) for wave in (np.cos, np.sin)]
    return np.column_stack([np.ones(len(angle)), *waves])


def _lines(day_of_year: Array) -> Array:
    """Columns that are 1 in the middle of one month and 0 in that of all others."""
    ends = np.cumsum(MONTH_DAYS)
    middle = ends - 0.5 * np.array(MONTH_DAYS)
    knots = np.concatenate([middle[-1:] - 365.0, middle, middle[:1] + 365.0])
    values = np.eye(12)[:, [11, *range(12), 0]]
    return np.column_stack([np.interp(day_of_year - 0.5, knots, row) for row in values])


@functools.cache
def _of_months(kind: Callable[[Array], Array]) -> Array:
    """Mean of each column over each month, shape (12, columns)."""
    days = kind(np.arange(1.0, 366.0))
    edges = np.concatenate([[0], np.cumsum(MONTH_DAYS)])
    return np.array([days[a:b].mean(axis=0) for a, b in itertools.pairwise(edges)])


def _waves(months: Sequence[float] | Array) -> Array:
    """Weights of the columns of `harmonics`."""
    values = np.asarray(months, dtype=float)
    return np.asarray(np.linalg.lstsq(_of_months(harmonics), values, rcond=None)[0])


def course(months: Sequence[float] | Array, day_of_year: Array) -> Array:
    """Daily values whose monthly averages are the twelve given."""
    weights = _waves(months)
    left = np.asarray(months, dtype=float) - _of_months(harmonics) @ weights
    bends = np.linalg.solve(_of_months(_lines), left)
    return np.asarray(harmonics(day_of_year) @ weights + _lines(day_of_year) @ bends)


def month_means(daily: Array, month: Array) -> Array:
    """Mean of daily values (last axis) in each calendar month 1 to 12, shape (12,)."""
    return np.array([np.mean(daily[..., month == m]) for m in range(1, 13)])


def coldest_day(mean_C: Sequence[float] | Array) -> float:
    """Day of the year on which the yearly wave of monthly means is lowest."""
    weights = _waves(mean_C)
    angle = np.arctan2(-weights[2], -weights[1])
    return float((angle / (2.0 * np.pi) * YEAR + 0.5) % YEAR)


def half_swing(mean_C: Sequence[float] | Array) -> float:
    """Half of the yearly wave from midwinter to midsummer, K."""
    weights = _waves(mean_C)
    return float(np.hypot(weights[1], weights[2]))


def between(winter: float, summer: float, day_of_year: Array, coldest: float) -> Array:
    """A value that goes from midwinter's to midsummer's and back in one wave."""
    depth = np.cos(2.0 * np.pi * (day_of_year - coldest) / YEAR)
    return 0.5 * (winter + summer) + 0.5 * (winter - summer) * depth


def days_of(first: np.datetime64, count: int) -> tuple[Array, Array]:
    """Day of the year (1 on 1 January) and calendar month (1 to 12) of days from ``first`` on."""
    days = first.astype("datetime64[D]") + np.arange(count)
    months = days.astype("datetime64[M]").astype(int) % 12 + 1
    return (days - days.astype("datetime64[Y]")).astype(float) + 1.0, months
