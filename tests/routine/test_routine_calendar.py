"""The grower's calendar: every hour asleep, away, or awake at home."""

from __future__ import annotations

from datetime import datetime, timedelta
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from greenhouse_sim.routine.calendar import calendar, habits
from greenhouse_sim.routine.numbers import Calendar

MONDAY = datetime(2026, 1, 5)
WEEK = 168


def days_of(**change: Any) -> SimpleNamespace:
    """Up at 6, bed at 22, every day; at home, no chores."""
    given: dict[str, Any] = {
        "up_weekday": 6.0, "up_weekend": 6.0, "bed_weekday": 22.0, "bed_weekend": 22.0,
        "away": (), "work": None, "chores": (), "gets_up_below": 2.0, "load_for": 4.0,
        "margin": 1.15, "stays_by": 5.0, "looks_ahead": "forecast", "clock_every": None,
        "no_burn": (),
    }  # fmt: skip
    return SimpleNamespace(**{**given, **change})


def run(start: datetime = MONDAY, hours: int = WEEK, cuts: Any = (), **change: Any) -> Calendar:
    return calendar(days_of(**change), cuts, start, hours)


def clock_hours(flags: np.ndarray, day: int) -> list[int]:
    """Clock hours of day ``day`` (0 = first) that are set."""
    return [int(h) for h in np.flatnonzero(flags[24 * day : 24 * day + 24])]


def test_plain_day() -> None:
    days = run()
    assert clock_hours(days.asleep, 2) == [0, 1, 2, 3, 4, 5, 22, 23]
    assert clock_hours(days.chance, 2) == list(range(6, 22))
    assert days.away.sum() == 0
    assert days.power.sum() == WEEK
    assert set(days.month) == {0.0}


def test_weekend_is_saturday_and_sunday() -> None:
    days = run(up_weekend=8.0, bed_weekend=23.0)
    assert clock_hours(days.chance, 4) == list(range(6, 22))
    assert clock_hours(days.chance, 5) == list(range(8, 23))
    assert clock_hours(days.chance, 6) == list(range(8, 23))


def test_bed_after_midnight_belongs_to_the_evening_before() -> None:
    """Bed at 01:00 at weekends: awake in the first hour of Sunday and Monday, not Saturday."""
    days = run(hours=WEEK + 24, bed_weekend=1.0)
    assert clock_hours(days.chance, 5) == list(range(6, 24))
    assert clock_hours(days.chance, 6) == [0, *range(6, 24)]
    assert clock_hours(days.chance, 7) == [0, *range(6, 22)]
    assert 0 not in clock_hours(days.chance, 5)
    # the stretch from Saturday's bed to Sunday's up is one night
    night = days.night[24 * 6 : 24 * 6 + 6]
    assert night[0] == -1.0
    assert len(set(night[1:])) == 1


def test_midnight_sharp() -> None:
    days = run(bed_weekday=0.0, bed_weekend=0.0)
    assert clock_hours(days.asleep, 2) == [0, 1, 2, 3, 4, 5]


def test_work_hours() -> None:
    work = SimpleNamespace(days=(0, 1, 2, 3, 4), start_h=8.0, end_h=17.0)
    days = run(work=work)
    assert clock_hours(days.away, 0) == list(range(8, 17))
    assert clock_hours(days.chance, 0) == [6, 7, *range(17, 22)]
    assert clock_hours(days.away, 5) == []
    assert days.gap_h[8 - 1] == 10.0


def test_shift_work_by_weekday() -> None:
    days = run(work=SimpleNamespace(days=(5, 6), start_h=9.0, end_h=12.0))
    assert days.away[: 24 * 5].sum() == 0
    assert clock_hours(days.away, 6) == [9, 10, 11]


@pytest.mark.parametrize("year", [1999, 2026, 2040])
def test_trips_move_to_this_winter(year: int) -> None:
    trip = (datetime(year, 1, 10, 17), datetime(year, 1, 12, 18))
    october = datetime(2025, 10, 1)
    days = run(october, 5088, away=(trip,))
    gone = np.flatnonzero(days.away)
    first = (datetime(2026, 1, 10, 17) - october) // timedelta(hours=1)
    assert gone.tolist() == list(range(first, first + 49))
    # nobody sleeps, nobody looks in
    assert days.asleep[gone].sum() == days.chance[gone].sum() == 0
    assert days.gap_h[first - 1] == 50.0


def test_trip_over_new_year_and_in_a_southern_winter() -> None:
    october = datetime(2025, 10, 1)
    over = run(october, 5088, away=((datetime(2020, 12, 30), datetime(2021, 1, 3)),))
    gone = np.flatnonzero(over.away)
    assert gone.size == 96
    assert october + timedelta(hours=int(gone[0])) == datetime(2025, 12, 30)
    south = run(datetime(2026, 4, 1), 5136, away=((datetime(2020, 7, 1), datetime(2020, 7, 2)),))
    gone = np.flatnonzero(south.away)
    assert datetime(2026, 4, 1) + timedelta(hours=int(gone[0])) == datetime(2026, 7, 1)


def test_trip_out_of_season_does_nothing() -> None:
    assert run(away=((datetime(2026, 7, 1), datetime(2026, 7, 9)),)).away.sum() == 0


def test_leap_day() -> None:
    """A trip of 29 February is on the 28th in a year that has none, and as long."""
    trip = ((datetime(2024, 2, 29, 8), datetime(2024, 3, 1, 8)),)
    leap = run(datetime(2023, 10, 1), 5112, away=trip)
    first = int(np.flatnonzero(leap.away)[0])
    assert datetime(2023, 10, 1) + timedelta(hours=first) == datetime(2024, 2, 29, 8)
    plain = run(datetime(2025, 10, 1), 5088, away=trip)
    first = int(np.flatnonzero(plain.away)[0])
    assert datetime(2025, 10, 1) + timedelta(hours=first) == datetime(2026, 2, 28, 8)
    assert leap.away.sum() == plain.away.sum() == 24
    # the calendar itself walks through 29 February
    assert (leap.month == 4.0).sum() == 29 * 24
    assert (plain.month == 4.0).sum() == 28 * 24


def test_power_cut() -> None:
    cut = ((datetime(2026, 1, 6, 3), datetime(2026, 1, 6, 9)),)
    days = run(cuts=cut)
    assert np.flatnonzero(days.power == 0.0).tolist() == list(range(27, 33))


def test_chores_are_the_only_chances() -> None:
    days = run(chores=(7.5, 17.0))
    assert clock_hours(days.chance, 3) == [7, 17]
    assert clock_hours(days.asleep, 3) == [0, 1, 2, 3, 4, 5, 22, 23]
    assert days.gap_h[7] == 10.0
    assert days.gap_h[17] == 14.0
    assert days.gap_h[0] == 7.0


def test_gap_at_the_end_of_the_season() -> None:
    """Where no chance comes any more, a whole day is reckoned with from the last hour."""
    days = run(hours=48)
    assert days.gap_h[45] == 2.0 + 24.0
    assert days.gap_h[47] == 24.0


def test_nights_are_numbered_once_each() -> None:
    days = run()
    # Monday before dawn is a night of its own, then seven evenings
    assert days.night[0] == days.night[5] == 1.0
    assert days.night[6] == -1.0
    assert days.night[22] == days.night[24 + 5] == 2.0
    assert set(days.night) == {-1.0, *map(float, range(1, 9))}


def test_habits() -> None:
    kept = habits(days_of())
    assert (kept.gets_up_below, kept.load_for_h, kept.margin) == (2.0, 4.0, 1.15)
    assert (kept.rest_h, kept.stays_by_h) == (2.0, 5.0)
    # below any air there is
    assert habits(days_of(gets_up_below=None)).gets_up_below < -273.15
    assert all(type(value) is float for value in kept)


@given(
    up=st.floats(4.0, 10.0),
    sleep=st.floats(3.0, 14.0),
    later=st.floats(0.0, 3.0),
    start=st.integers(0, 24 * 400),
    hours=st.integers(1, 400),
    work=st.booleans(),
    chores=st.booleans(),
)
@settings(max_examples=60, deadline=None)
def test_every_hour_has_its_place(
    up: float, sleep: float, later: float, start: int, hours: int, work: bool, chores: bool
) -> None:
    bed = (up - sleep) % 24.0
    days = run(
        datetime(2023, 9, 1) + timedelta(hours=start),
        hours,
        up_weekday=up,
        up_weekend=up + later,
        bed_weekday=bed,
        bed_weekend=bed,
        work=SimpleNamespace(days=(0, 2, 4), start_h=11.0, end_h=15.0) if work else None,
        chores=(up + later + 1.0,) if chores else (),
    )
    for values in days:
        assert values.shape == (hours,)
        assert values.dtype == np.float64
    for flags in (days.chance, days.asleep, days.away, days.power):
        assert set(flags) <= {0.0, 1.0}
    assert (days.chance + days.asleep + days.away <= 1.0).all()
    if not chores:
        assert (days.chance + days.asleep + days.away == 1.0).all()
    assert (days.gap_h >= 1.0).all()
    for h in np.flatnonzero(days.gap_h[:-1] > 1.0):
        assert days.gap_h[h + 1] == days.gap_h[h] - 1.0
    assert ((days.night >= 0.0) >= (days.asleep > 0.5)).all()
    numbered = days.night[days.night >= 0.0]
    assert (np.diff(numbered) >= 0.0).all()
