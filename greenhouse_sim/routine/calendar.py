"""The grower's hours through one winter, from the routine of the scenario."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import numpy as np

from greenhouse_sim.routine.chances import gaps, untended, with_clock
from greenhouse_sim.routine.no_burn import no_burn_hours
from greenhouse_sim.routine.numbers import Calendar, Habits

NEVER_C = -1000.0
NIGHT_REST_H = 2.0
"""Hours that an alarm is left alone after a visit (common practice, no source)."""


def habits(routine: Any) -> Habits:
    """How the grower tends, from the scenario's routine."""
    below = routine.gets_up_below
    return Habits(
        gets_up_below=NEVER_C if below is None else float(below),
        load_for_h=float(routine.load_for),
        margin=float(routine.margin),
        rest_h=NIGHT_REST_H,
        stays_by_h=float(routine.stays_by),
    )


def calendar(
    routine: Any, power_cuts: tuple[tuple[datetime, datetime], ...], start: datetime, hours: int
) -> Calendar:
    """When somebody can tend the fire, for ``hours`` hours from ``start``.

    Planned trips and power cuts are moved to the year of this winter: a trip of
    10 January is one in every winter that is run.
    """
    times = np.datetime64(start, "s") + np.arange(hours) * np.timedelta64(3600, "s")
    times = times + np.timedelta64(1800, "s")
    dates = times.astype("datetime64[D]")
    clock = (times - dates).astype(float) / 3600.0
    weekday = (dates.astype(np.int64) + 3) % 7  # 1970-01-01 was a Thursday
    months = times.astype("datetime64[M]").astype(np.int64)
    weekend = weekday >= 5
    # an hour after midnight belongs to the evening before it
    evening_weekend = np.where(clock < 12.0, (weekday - 1) % 7 >= 5, weekend)
    awake = _awake(routine, clock, weekend, evening_weekend)
    away = _within(routine.away, start, times)
    if routine.work is not None:
        work = routine.work
        away |= np.isin(weekday, list(work.days)) & (clock >= work.start_h) & (clock < work.end_h)
    chance = awake & ~away
    if routine.chores:
        chance &= np.isin(np.floor(clock), np.floor(np.array(routine.chores)))
    asleep = ~awake & ~away
    days = Calendar(
        chance=chance.astype(np.float64),
        asleep=asleep.astype(np.float64),
        away=away.astype(np.float64),
        gap_h=gaps(chance),
        night=_nights(awake),
        power=(~_within(power_cuts, start, times)).astype(np.float64),
        month=(months - months[0]).astype(np.float64),
    )
    if routine.clock_every is not None:
        days = with_clock(days, round(routine.clock_every))
    banned = no_burn_hours(routine.no_burn, start, hours)
    return untended(days, banned, known=True) if banned.any() else days


def _awake(
    routine: Any, clock: np.ndarray, weekend: np.ndarray, evening_weekend: np.ndarray
) -> np.ndarray:
    up = np.where(weekend, routine.up_weekend, routine.up_weekday)
    bed = np.where(weekend, _evening(routine, True), _evening(routine, False))
    late = np.where(evening_weekend, _evening(routine, True), _evening(routine, False)) - 24.0
    return ((clock >= up) & (clock < bed)) | (clock < late)


def _evening(routine: Any, weekend: bool) -> float:
    """Bedtime in hours after the midnight before: 24.5 for half past midnight."""
    bed = routine.bed_weekend if weekend else routine.bed_weekday
    up = routine.up_weekend if weekend else routine.up_weekday
    return float(bed if bed > up else bed + 24.0)


def _within(
    spans: tuple[tuple[datetime, datetime], ...], start: datetime, times: np.ndarray
) -> np.ndarray:
    """True where an hour lies in one of the spans, each moved to this winter's year."""
    inside = np.zeros(times.size, dtype=bool)
    for begins, ends in spans:
        first = _in_winter(begins, ends - begins, start)
        last = first + (ends - begins)
        inside |= (times >= np.datetime64(first)) & (times < np.datetime64(last))
    return inside


def _in_winter(moment: datetime, lasts: timedelta, start: datetime) -> datetime:
    """This month, day and hour in the first year in which it is not over when the winter starts."""
    for year in range(start.year - 1, start.year + 3):
        try:
            moved = moment.replace(year=year)
        except ValueError:  # 29 February
            moved = moment.replace(year=year, day=28)
        if moved + lasts > start:
            return moved
    return moment


def _nights(awake: np.ndarray) -> np.ndarray:
    """Number of the night that each hour belongs to, −1 by day."""
    falls_asleep = np.diff(np.concatenate([[1], awake.astype(int)])) < 0
    return np.where(awake, -1.0, np.cumsum(falls_asleep).astype(float))
