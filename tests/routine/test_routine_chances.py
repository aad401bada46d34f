"""A clock at night, days without fire, visits that fall out: what they do to the calendar."""

from __future__ import annotations

from datetime import datetime
from types import SimpleNamespace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from greenhouse_sim.routine.calendar import calendar
from greenhouse_sim.routine.chances import (
    BY_CLOCK,
    LAST_GAP_H,
    gaps,
    nights_wanted,
    untended,
    with_clock,
)
from greenhouse_sim.routine.numbers import Calendar
from greenhouse_sim.season.hour import BY_ALARM


def week() -> Calendar:
    """Up at 6, bed at 22, from a Monday's midnight."""
    routine = SimpleNamespace(
        up_weekday=6.0, up_weekend=6.0, bed_weekday=22.0, bed_weekend=22.0, away=(), work=None,
        chores=(), clock_every=None, no_burn=(),
    )  # fmt: skip
    return calendar(routine, (), datetime(2026, 1, 5), 168)


def test_the_kernel_takes_a_ring_for_an_alarm() -> None:
    assert BY_CLOCK > BY_ALARM > 1.0


def test_rings_are_counted_from_falling_asleep() -> None:
    """Bed at 22: every three hours is 01:00 and 04:00; 06:00 is getting up."""
    days = with_clock(week(), 3)
    rings = np.flatnonzero(days.chance == BY_CLOCK)
    assert [int(h) % 24 for h in rings if 20 <= h < 48] == [1, 4]
    assert days.gap_h[21] == 4.0
    assert days.gap_h[25] == 3.0
    assert days.gap_h[28] == 2.0
    assert np.all(days.asleep[rings] == 1.0)


def test_a_long_wait_rings_never() -> None:
    assert np.array_equal(with_clock(week(), 8).chance, week().chance)


def test_only_the_nights_that_are_wanted() -> None:
    days = week()
    nights = np.zeros(int(days.night.max()) + 1, dtype=bool)
    nights[3] = True
    wanted = nights_wanted(days, nights)
    assert set(days.night[wanted]) == {3.0}
    rings = with_clock(days, 3, wanted)
    assert set(days.night[rings.chance == BY_CLOCK]) == {3.0}
    other = days.night != 3.0
    # the gap of an evening before a night without rings is as it was
    assert rings.gap_h[21] == days.gap_h[21]
    assert np.array_equal(rings.chance[other], days.chance[other])


def test_an_announced_day_without_fire_is_loaded_for() -> None:
    days = week()
    hours = np.zeros(168, dtype=bool)
    hours[48:72] = True
    known, unknown = untended(days, hours, known=True), untended(days, hours, known=False)
    for one in (known, unknown):
        assert one.chance[48:72].sum() == 0.0
        assert np.all(one.away[48:72] == 1.0)
        assert one.asleep[48:72].sum() == 0.0
    # last look at 21:00 on the day before; next at 06:00 two days on
    assert known.gap_h[45] == 33.0
    assert unknown.gap_h[45] == days.gap_h[45] == 9.0


@given(st.lists(st.booleans(), min_size=1, max_size=60))
@settings(max_examples=100, deadline=None)
def test_gaps_are_the_hours_to_the_next_chance(flags: list[bool]) -> None:
    """By hand: walk from each hour to the next chance, or past the end."""
    chance = np.array(flags, dtype=float)
    for h, gap in enumerate(gaps(chance)):
        later = [k for k in range(h + 1, len(flags)) if flags[k]]
        assert gap == (later[0] - h if later else len(flags) - 1 + LAST_GAP_H - h)
