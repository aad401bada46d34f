"""Evenings on which the grower could leave, and the calendars of an empty house."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import NamedTuple

import numpy as np

from greenhouse_sim.routine.chances import BY_CLOCK, LAST_GAP_H
from greenhouse_sim.routine.numbers import Calendar
from greenhouse_sim.season.run import Winter

Array = np.ndarray
DAY_H = 24
MOST_DAYS = 14
"""So many days nobody comes, at most."""


class Evenings(NamedTuple):
    """The evenings of the season, the same in every winter."""

    days: tuple[date, ...]
    """Of the first winter, without 29 February."""
    starts: Array
    """Hour of the last chance before bedtime, int64, shape (winters, evenings); −1 for an evening
    that a winter does not have."""


def last_chances(days: Calendar) -> Array:
    """Hours of the last look-in before each night, int64, rising.

    A night without one since the night before (nobody at home) has none.
    """
    night = days.night
    falls = np.flatnonzero((night >= 0.0) & (night != np.concatenate([[-1.0], night[:-1]])))
    about = np.flatnonzero((days.chance > 0.5) & (days.chance < BY_CLOCK))
    places = np.searchsorted(about, falls) - 1
    before = np.concatenate([[-1], falls[:-1]])
    kept = [
        about[place]
        for place, floor in zip(places, before, strict=True)
        if place >= 0 and about[place] > floor
    ]
    return np.array(kept, dtype=np.int64)


def evenings(winters: Sequence[Winter]) -> Evenings:
    """The departures of these winters, side by side by month and day."""
    found = [_by_day(winter) for winter in winters]
    days = tuple(day for day in found[0] if (day.month, day.day) != (2, 29))
    order = {(day.month, day.day): i for i, day in enumerate(days)}
    starts = np.full((len(winters), len(days)), -1, dtype=np.int64)
    for row, one in zip(starts, found, strict=True):
        for day, start in one.items():
            place = order.get((day.month, day.day))
            if place is not None:
                row[place] = start
    return Evenings(days, starts)


def _by_day(winter: Winter) -> dict[date, int]:
    """The evening's date to the hour of departure; an hour after midnight is the day before's."""
    begun = winter.weather.start
    starts = last_chances(winter.calendar)
    return {(begun + timedelta(hours=int(h) - 12)).date(): int(h) for h in starts}


def until_return(days: Calendar, starts: Array, span_h: int) -> Array:
    """Hours from each departure to the first chance ``span_h`` hours or more after it: what the
    routine has the grower load for before such a trip."""
    ends = days.chance.size - 1 + LAST_GAP_H
    about = np.flatnonzero(days.chance > 0.5)
    places = np.searchsorted(about, starts + span_h)
    back = np.append(about.astype(float), ends)[places]
    return np.asarray(back - starts)


def leaving(days: Calendar, starts: Array, gap_h: Array) -> Calendar:
    """The calendar at the hours of departure, where the grower loads for ``gap_h`` hours."""
    gaps = days.gap_h.copy()
    gaps[starts] = gap_h
    return days._replace(gap_h=gaps)


def nobody(days: Calendar) -> Calendar:
    """The calendar of an empty house."""
    empty = np.zeros(days.chance.size)
    return days._replace(chance=empty, asleep=empty, away=np.ones(days.chance.size))


def visited(days: Calendar, clock_h: Array, hour: float) -> Calendar:
    """The calendar of an empty house to which somebody comes once a day.

    Parameters
    ----------
    days
        The season's own calendar.
    clock_h
        Time of day at the beginning of each hour, shape (hours,).
    hour
        Time of day of the visit, h after midnight.

    Returns
    -------
    Calendar
        With the hours to the next visit as gap: the helper loads for the coming day.
    """
    chance = (np.floor(clock_h) == np.floor(hour)).astype(float)
    hours = np.arange(chance.size)
    comes = np.append(np.flatnonzero(chance > 0.5), chance.size - 1 + int(LAST_GAP_H))
    gap_h = comes[np.searchsorted(comes, hours, side="right").clip(max=comes.size - 1)] - hours
    return nobody(days)._replace(chance=chance, gap_h=gap_h.astype(float))


def clock(winter: Winter) -> Array:
    """Time of day at the beginning of each hour of a winter, h after midnight."""
    times = winter.weather.times()
    return (times - times.astype("datetime64[D]")).astype("timedelta64[h]").astype(float)
