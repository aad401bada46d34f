"""Drying and work against measurements that no row of the tables was made from.

The drying times of `tables/drying.csv` are from memory and their `split_factor` is made from a
trial in Fairbanks and an owner's log; here they are held against other measurements.
"""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import numpy as np
import pytest

from greenhouse_sim.heater.fuel import wet_basis
from greenhouse_sim.plans.drying import (
    DryingYear,
    between,
    deficit_kPa,
    dried,
    effective_days,
    moisture_after,
)
from greenhouse_sim.plans.labour import CUTTING
from greenhouse_sim.tables.read import read_keyed, read_rows

FACTOR = read_keyed("woodpile")["split_factor"]
QUICK, MIDDLE, SLOW = (float(text) for text in (FACTOR.low, FACTOR.value, FACTOR.high))
LUMBER = 1.0
LUMBER_DRY = wet_basis(0.20)
SOLID_CORD_M3 = 2.265
"""80 ft³ of wood in a cord."""


def upper_midwest() -> DryingYear:
    """The calendar that ships: effective days of each month."""
    days = {int(row["month"]): float(row["days"]) for row in read_rows("drying_calendar")}
    length = (31.0, 28.25, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0)
    return DryingYear(tuple(days[n + 1] / length[n] for n in range(12)), ())


def calendar_days(species: str, factor: float, dry: float, begun: date, year: DryingYear) -> int:
    """Days from stacking to this moisture (wet basis)."""
    row = dried(species)
    assert row is not None
    needed, had, day = effective_days(row, factor, dry), 0.0, begun
    while had < needed:
        had += year.share[day.month - 1]
        day += timedelta(days=1)
    return (day - begun).days


def test_one_inch_sugar_maple_stacked_on_any_day_in_upper_michigan() -> None:
    """Peck (1957), report 2086 of the Forest Products Laboratory: packages of flooring stock of
    all seasons were at 20 % (dry basis) after 40 to 205 days, about 90 in the mean.

    Ours is the time of the table laid on the calendar of the region: 51 to 175 days, 99 in the mean
    over all days of stacking (the report's days are not given). A third is allowed at the ends: the
    table has no time under 50 days for this wood, and the calendar knows no bad years.
    """
    year = upper_midwest()
    found = [
        calendar_days("sugar maple", LUMBER, LUMBER_DRY, date(2025, 1, 1) + timedelta(days=n), year)
        for n in range(0, 365, 5)
    ]
    assert min(found) == pytest.approx(40, rel=0.33)
    assert max(found) == pytest.approx(205, rel=0.33)
    assert float(np.mean(found)) == pytest.approx(90, rel=0.15)


@pytest.mark.parametrize(("begun", "months"), [(date(2025, 1, 2), 5.0), (date(2025, 6, 1), 2.0)])
def test_one_inch_red_oak_in_winter_and_in_summer(begun: date, months: float) -> None:
    """Tests of the Forest Products Laboratory, as a sawyer quotes them: oak stacked in early
    January took almost 5 months to 20 % (dry basis), of 1 June only 2.

    Ours: 5.1 and 2.4 months (the kind of oak is not said), within a fifth.
    """
    found = calendar_days("red oak", LUMBER, LUMBER_DRY, begun, upper_midwest())
    assert found / 30.4 == pytest.approx(months, rel=0.2)


def test_aspen_is_late_and_spruce_is_early() -> None:
    """Two trials of split firewood, in Ås (Nordhagen and Gjølsjø, NIBIO) and in Fairbanks (Cold
    Climate Housing Research Center, told at a clinic): aspen lags behind birch; spruce dries first
    (Ås) or with birch (Fairbanks: six weeks for both, two months for aspen).
    """
    rows = [dried(name) for name in ("white spruce", "paper birch", "quaking aspen")]
    days = [effective_days(row, MIDDLE, 0.20) for row in rows if row is not None]
    assert len(days) == 3
    assert all(one < later for one, later in pairwise(days))
    assert days[2] / days[1] == pytest.approx(2.0 / (6.0 / 4.35), rel=0.15)


AAS_C = (-3.1, -2.8, 0.4, 5.3, 10.7, 14.7, 17.0, 15.9, 11.6, 6.2, 1.6, -2.4)
AAS_RH = (0.87, 0.84, 0.77, 0.70, 0.65, 0.68, 0.70, 0.75, 0.80, 0.84, 0.88, 0.88)
"""Monthly means in Ås, from memory, rounded: mean temperature and humidity."""


def aas() -> DryingYear:
    t, rh = np.array(AAS_C), np.array(AAS_RH)
    gamma = np.log(rh) + 17.62 * t / (243.12 + t)
    dew = 243.12 * gamma / (17.62 - gamma)
    full = read_keyed("woodpile")["full_day_deficit"].number
    return DryingYear(tuple(float(one) for one in np.minimum(1.0, deficit_kPa(t, dew) / full)), ())


@pytest.mark.parametrize(
    ("species", "stands_for", "middle"),
    [("white spruce", "Norway spruce", 0.26), ("paper birch", "birch", 0.30),
     ("red pine", "Scots pine", 0.29)],
)  # fmt: skip
def test_quarters_of_a_spring_in_norway(species: str, stands_for: str, middle: float) -> None:
    """Nordhagen and Gjølsjø (NIBIO, Ås): 30 cm long quarters, weighed weekly, were under 20 %
    (taken as wet basis) at the beginning of June; drying counts from March.

    The measured day lies between the quick and the slow end of ours. The middle is a miss: it has
    26 to 30 % on 5 June and is four to nine weeks late, hence safe. Their sticks are 30 cm long, 3
    to 15 cm wide; the middle stands for sticks of 40 cm and leans towards an owner's slow oak.
    """
    row = dried(species)
    assert row is not None, stands_for
    days = between(date(2025, 3, 1), date(2025, 6, 5), aas())
    assert moisture_after(row, QUICK, days) < 0.20 < moisture_after(row, SLOW, days)
    assert moisture_after(row, MIDDLE, days) == pytest.approx(middle, abs=0.01)
    late = calendar_days(species, MIDDLE, 0.20, date(2025, 3, 1), aas())
    assert 28 <= late - (date(2025, 6, 5) - date(2025, 3, 1)).days <= 63


def test_wood_stacked_in_autumn_hardly_dries_before_spring() -> None:
    """NIBIO: wood dries little through the winter months. Radiata logs of 58 % lost 7 to 9 points
    of water in 17 winter weeks, against 20 to 32 points in 24 of summer (Visser et al. 2014).

    Ours, in Ås: winter's 17 weeks count for a fifth or less of summer's.
    """
    winter = between(date(2025, 11, 1), date(2026, 2, 28), aas())
    summer = between(date(2025, 5, 1), date(2025, 8, 28), aas())
    assert winter < 0.25 * summer
    row = dried("paper birch")
    assert row is not None
    for factor in (MIDDLE, SLOW):
        assert moisture_after(row, factor, winter) > 0.33


def test_sticks_of_sixteen_inches_lie_between_one_and_two_feet() -> None:
    """Experiments that a firewood page ascribes to the Forest Products Laboratory (read second
    hand): one-foot sticks are dry in 2 to 3 months, two-foot sticks in 6 to 7.

    Ours for 16 in, the median wood in good weather to 20 % (wet basis): 119 days.
    """
    days = [effective_days(row, MIDDLE, 0.20) for row in read_rows("drying")]
    assert 2.0 * 30.4 < float(np.median(days)) < 7.0 * 30.4


# -- work


def test_a_second_log_of_a_cord() -> None:
    """Logs in the yard to stack by one with splitter and tractor: 3/4 cord in 4 h (owner's log).

    5.3 h a cord; ours, of bucking, hauling, splitting and stacking, 6 h, of which the low and high
    ends hold it.
    """
    table = read_keyed("labour")
    tasks = ("bucking", "hauling", "splitting", "stacking")
    low, middle, high = (
        sum(float(text) for text in ends)
        for ends in zip(
            *((table[k].low, table[k].value, table[k].high) for k in tasks), strict=True
        )
    )
    assert low < 4.0 / 0.75 < high
    assert middle == pytest.approx(4.0 / 0.75, rel=0.15)


def test_nobody_by_hand_is_as_quick_as_a_firewood_processor() -> None:
    """Industrial processors of metre-long oak: 1.4 to 4.9 m³ an hour with all delays (Forest
    Products Journal 64(5/6):171, 2014): 0.5 to 1.6 h a cord for cutting and splitting together.

    Ours, with saw and splitter: 3 h, from 1.5 at the quickest.
    """
    table = read_keyed("labour")
    slowest, quickest = (SOLID_CORD_M3 / m3_h for m3_h in (1.4, 4.9))
    assert quickest < slowest < table["bucking"].number + table["splitting"].number
    assert float(table["bucking"].low) + float(table["splitting"].low) > quickest
    assert set(CUTTING) >= {"felling", "skidding", "bucking", "hauling", "splitting"}
