"""Chances to tend the fire, changed: a clock at night, days without fire, visits that fall out."""

from __future__ import annotations

import numpy as np

from greenhouse_sim.routine.numbers import Array, Calendar

LAST_GAP_H = 24.0
"""Hours to the next chance where the season ends before one."""
BY_CLOCK = 2.0
"""A chance at which the grower sleeps and gets up by the clock."""


def gaps(chance: Array) -> Array:
    """Hours from each hour to the next chance after it, shape (hours,)."""
    hours = np.arange(chance.size, dtype=float)
    ends = chance.size - 1 + LAST_GAP_H
    later = np.append(np.where(chance[1:] > 0.0, hours[1:], ends), ends)
    return np.minimum.accumulate(later[::-1])[::-1] - hours


def with_clock(days: Calendar, every_h: int, wanted: Array | None = None) -> Calendar:
    """The calendar with a clock that rings every so many hours after falling asleep.

    Parameters
    ----------
    days
        The calendar.
    every_h
        Whole hours between rings, 1 at least.
    wanted
        Nights on which the clock is set: True for each such hour, shape (hours,); all nights
        where not given.

    Returns
    -------
    Calendar
        At a ring the grower gets up only if there is something to do (so it reads: the clock is
        set for the hours at which there will be). The fire is then tended for the hours to the
        next ring, the load at bedtime too.
    """
    asleep = days.asleep > 0.5
    starts = asleep & ~np.concatenate([[False], asleep[:-1]])
    hours = np.arange(asleep.size)
    slept = hours - np.maximum.accumulate(np.where(starts, hours, 0))
    rings = asleep & (slept > 0) & (slept % every_h == 0)
    if wanted is not None:
        rings &= wanted
    chance = np.where(rings, BY_CLOCK, days.chance)
    return days._replace(chance=chance, gap_h=gaps(chance))


def nights_wanted(days: Calendar, of_night: Array) -> Array:
    """Hours of the nights for which ``of_night`` (by number of the night) is True, and False
    by day."""
    night = days.night.astype(int)
    return np.where(night >= 0, of_night[np.maximum(night, 0)], False)


def untended(days: Calendar, hours: Array, known: bool) -> Calendar:
    """The calendar with hours in which nobody loads or lights anything.

    Parameters
    ----------
    days
        The calendar.
    hours
        True where nobody tends, shape (hours,).
    known
        Whether it is known before (an announced day without fire): then the grower loads for the
        longer gap. A visit that falls out is not known before.

    Returns
    -------
    Calendar
        The hours count as away, by night too.
    """
    chance = np.where(hours, 0.0, days.chance)
    return days._replace(
        chance=chance,
        asleep=np.where(hours, 0.0, days.asleep),
        away=np.where(hours, 1.0, days.away),
        gap_h=gaps(chance) if known else days.gap_h,
    )
