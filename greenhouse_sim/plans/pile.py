"""The pile through the winter: what is taken from it day by day, and what must be left.

Days are those of the first winter; 29 February goes with the day before, so that all winters
have the same days.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.plans.quantiles import quantile
from greenhouse_sim.tables.read import read_keyed

if TYPE_CHECKING:
    from greenhouse_sim.season.run import Season

Array = np.ndarray
MonthDay = tuple[int, int]


class Use(NamedTuple):
    """Fuel put into the heater day by day, kg as fired."""

    days: tuple[date, ...]
    """Of the first winter, without 29 February."""
    kg: Array
    """Shape (winters, days)."""

    @property
    def total_kg(self) -> Array:
        """Of each winter, kg; shape (winters,)."""
        return np.asarray(self.kg.sum(axis=1))

    @property
    def ahead_kg(self) -> Array:
        """Still to be burnt from the morning of each day, kg; shape (winters, days + 1)."""
        back = np.cumsum(self.kg[:, ::-1], axis=1)[:, ::-1]
        return np.concatenate([back, np.zeros((len(back), 1))], axis=1)

    def place(self, day: MonthDay) -> int | None:
        """Number of a day of the season; None for one outside it."""
        wanted = (2, 28) if day == (2, 29) else day
        found = [i for i, one in enumerate(self.days) if (one.month, one.day) == wanted]
        return found[0] if found else None

    def by_month(self) -> dict[str, Array]:
        """Use by month, kg, shape (winters,) each."""
        return {
            span.name: self.kg[:, span.start : span.stop].sum(axis=1) for span in months(self.days)
        }


class Span(NamedTuple):
    """A month of the season."""

    name: str
    """ "2026-01"."""
    start: int
    """Number of its first day in the season."""
    stop: int
    """Number of the day after it."""


def months(days: Sequence[date]) -> tuple[Span, ...]:
    """The months that days in a row fall into."""
    first = [n for n, day in enumerate(days) if n == 0 or day.month != days[n - 1].month]
    stops = [*first[1:], len(days)]
    return tuple(Span(f"{days[n]:%Y-%m}", n, stop) for n, stop in zip(first, stops, strict=True))


def use(seasons: Sequence[Season]) -> Use:
    """Fuel loaded by day of each of these winters, which must be traced."""
    days = days_of(seasons[0])
    order = [(day.month, day.day) for day in days]
    kg = np.zeros((len(seasons), len(days)))
    for row, season in zip(kg, seasons, strict=True):
        theirs = [(day.month, day.day) for day in days_of(season)]
        loaded = by_day(season, season.column("loaded_kg"))
        if theirs == order:
            row[:] = loaded
        else:
            found = dict(zip(theirs, loaded, strict=True))
            row[:] = [found.get(day, 0.0) for day in order]
    return Use(days, kg)


def days_of(season: Season) -> tuple[date, ...]:
    """The days of a season, without 29 February."""
    return tuple(day for day in _every_day(season) if (day.month, day.day) != (2, 29))


def _every_day(season: Season) -> tuple[date, ...]:
    hours = season.weather.start.hour + season.weather.hours
    return _in_a_row(season.weather.start.date(), -(-hours // 24))


@functools.lru_cache
def _in_a_row(first: date, many: int) -> tuple[date, ...]:
    return tuple(first + timedelta(days=number) for number in range(many))


@functools.lru_cache
def _leap_days(days: tuple[date, ...]) -> tuple[int, ...]:
    """Places of 29 February."""
    return tuple(n for n, day in enumerate(days) if (day.month, day.day) == (2, 29))


def by_day(season: Season, hourly: Array) -> Array:
    """An hourly quantity summed over each of `days_of`; 29 February goes with the 28th."""
    days = _every_day(season)
    whole = np.zeros(24 * len(days))
    first = season.weather.start.hour
    whole[first : first + len(hourly)] = hourly
    sums = whole.reshape(-1, 24).sum(axis=1)
    for n in reversed(_leap_days(days)):
        if n > 0:
            sums[n - 1] += sums[n]
        sums = np.delete(sums, n)
    return sums


def guide(used: Use, share: float | None) -> Array:
    """What must be left on the morning of each day to last in this share of winters, kg.

    The quantile over winters of what each still burns from that day on (the most of any where
    ``share`` is None). Shape (days + 1,).
    """
    return np.quantile(used.ahead_kg, 1.0 if share is None else share, axis=0)


def half_day(curve: Array, used: Use) -> date:
    """The last morning on which half of a pile or more must still be there."""
    return used.days[int(np.flatnonzero(curve >= 0.5 * curve[0])[-1])]


class Midwinter(NamedTuple):
    """The trade's rule against the run: the share of each winter's wood still to be burnt."""

    day: date
    middle: float
    low: float
    high: float
    """10th and 90th percentile over winters."""
    holds: int
    """Winters in which half of what they burn lasts from that day on."""


def midwinter(used: Use, latitude: float) -> Midwinter | None:
    """The rule checked; None where its day is outside the season, or nothing is burnt."""
    key = "midwinter" if latitude >= 0.0 else "midwinter_south"
    month, number = (int(part) for part in read_keyed("woodpile")[key].value.split("-"))
    place = used.place((month, number))
    burnt = used.total_kg > 0.0
    if place is None or not burnt.any():
        return None
    left = used.ahead_kg[burnt, place] / used.total_kg[burnt]
    low, middle, high = (quantile(left, share) for share in (0.1, 0.5, 0.9))
    return Midwinter(used.days[place], middle, low, high, int(np.sum(left <= 0.5)))


class Lasts(NamedTuple):
    """How far a rest of the pile reaches."""

    day: date
    """The day on which it was counted."""
    left_kg: float
    until: tuple[date | None, ...]
    """A winter each: the day on which it runs out; None where it lasts."""
    short_kg: tuple[float, ...]
    """A winter each: what is missing to the end of the season."""


def lasts(used: Use, left_kg: float, on: date, where: str = "--on") -> Lasts:
    """Until when a rest of the pile lasts in each of the winters.

    Raises
    ------
    ScenarioError
        The day lies outside the season.
    """
    place = used.place((on.month, on.day))
    if place is None:
        first, last = used.days[0], used.days[-1]
        raise ScenarioError(
            f"{where}: {on.isoformat()} is outside the season; write a day from "
            f"{first:%m-%d} to {last:%m-%d}"
        )
    until: list[date | None] = []
    for row in used.kg[:, place:]:
        over = np.flatnonzero(np.cumsum(row) > left_kg + 1e-9)
        until.append(used.days[place + int(over[0])] if len(over) else None)
    missing = np.maximum(used.ahead_kg[:, place] - left_kg, 0.0)
    return Lasts(used.days[place], left_kg, tuple(until), tuple(float(kg) for kg in missing))
