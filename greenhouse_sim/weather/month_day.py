"""Days of no year: month and day of each hour as one number."""

from __future__ import annotations

from datetime import datetime

import numpy as np

Array = np.ndarray
MonthAndDay = tuple[int, int]


def month_day(start: datetime, hours: int) -> Array:
    """100 × month + day of each hour from ``start``: 1115 on 15 November; shape (hours,)."""
    days = (np.datetime64(start, "h") + np.arange(hours)).astype("datetime64[D]")
    months = days.astype("datetime64[M]")
    month = months.astype(int) % 12 + 1
    day = (days - months.astype("datetime64[D]")).astype(int) + 1
    return np.asarray(100 * month + day)


def number(day: MonthAndDay) -> int:
    """(month, day) as that number."""
    return 100 * day[0] + day[1]


def within(first: MonthAndDay, last: MonthAndDay, start: datetime, hours: int) -> Array:
    """True in the hours from the first to the last day, both whole, shape (hours,).

    It goes over the new year where the last comes earlier in the year.
    """
    days, begins, ends = month_day(start, hours), number(first), number(last)
    if begins <= ends:
        return np.asarray((days >= begins) & (days <= ends))
    return np.asarray((days >= begins) | (days <= ends))
