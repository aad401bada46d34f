"""The grower's habit as the journal shows it: when the fire is tended, and when they get up.

A routine cannot be read off a journal directly: a grower who is up from six loads at six only
where the fire needs it. So routines are tried in the season, with all else as it was, until the
season's loads fall on the hours of the day as the journal's do, and its nights up are as many.
Where the plan's own routine does nearly as well, it is kept.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta
from itertools import product
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.journal.entry import LOAD, Entry
from greenhouse_sim.plans.quantiles import quantile
from greenhouse_sim.plans.review_runs import Again, Months
from greenhouse_sim.units import fahrenheit, to_si

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
LEAST_LOADS = 30
"""Loads under which hours of the day say nothing (judgement)."""
BETTER_H = 0.25
"""A routine must bring the loads so much nearer, h, to go before the plan's (judgement)."""
PER_KEY_H = 0.05
"""... and so much more for each key that it changes: the simpler of two is taken (judgement)."""
MOST_SHIFT_H = 3
MOST_CHORES = 6
DAY_STARTS_H = 3
"""Hour at which a day of tending begins, for comparing hours: hardly anybody loads then."""
HALF_HOUR = timedelta(minutes=30)
FEW_NIGHTS = 2.0
NEAR_NIGHTS = 0.1
"""Nights up that differ by no more, in number or as a share, are as planned (judgement)."""
NEAR_FUEL = 0.15
"""Share of the fuel that may be unexplained where nights up are to tell of a habit: beyond it
something else is wrong, which gets a grower up as well (judgement)."""
ALARMS_F = range(28, 52)
"""Alarms that are tried, °F (judgement: from hard frost to a warm house)."""


class Habit(NamedTuple):
    """The routine as it was."""

    changes: Mapping[str, Any]
    """Keys of ``[routine]``, as a scenario has them; empty where it was as planned."""
    loads: int
    """Loads by day that the hours were taken from."""
    hours: Array
    """Share of those loads in each hour of the day, shape (24,)."""
    apart_h: tuple[float, float]
    """How far the loads lie from the season's, mean hours of the day: plan's routine, this one."""
    nights: tuple[float, float, float]
    """Nights up: the journal's, and the season's by the plan's rule and by this one."""
    nights_judged: bool
    """Whether nights up could tell of a rule: the weather is known, and the fuel nearly fits."""


def habit_as_it_was(again: Again, entries: Sequence[Entry], noted: Months) -> Habit:
    """The routine that fits a journal best.

    Parameters
    ----------
    again
        The farm, with the other causes as they were.
    entries
        Of the winter.
    noted
        What the journal says of it.
    """
    ups = noted.total("nights_up")
    trial = _Trial(again)
    plan = again.scenario(trial.causes)
    hours = np.zeros(24)
    for one in entries:
        if one.kind == LOAD and not one.woken:
            # the season loads on the stroke; a time noted in a hurry lies on either side of it
            hours[(one.at + HALF_HOUR).hour] += 1.0
    loads = int(hours.sum())
    shares = hours / max(loads, 1)
    planned_ups = trial.nights({})
    if loads >= LEAST_LOADS:
        day, alarm = _best(trial, plan, shares, ups)
    else:
        day, alarm = {}, _best_alarm(trial, plan, {}, ups)
    judged = again.this is not None and trial.near(day | alarm, noted.total("fuel"))
    if not judged:
        alarm = {}
    changes = day | alarm
    apart = (0.0, 0.0)
    if loads >= LEAST_LOADS:
        apart = (apart_h(shares, trial.shares({})), apart_h(shares, trial.shares(changes)))
    nights = (ups, planned_ups, trial.nights(changes))
    return Habit(changes, loads, shares, apart, nights, judged)


class _Trial:
    """One winter, run under many routines."""

    def __init__(self, again: Again) -> None:
        self.again = again
        self.causes = frozenset(again.causes)
        self.scenario = again.scenario(self.causes)
        self.only: int | None = None
        if again.this is None:
            ran = again.run(self.causes)
            totals = [one.months.total("fuel") for one in ran]
            self.only = int(np.argmin(np.abs(np.array(totals) - quantile(totals, 0.5))))

    def _run(self, changes: Mapping[str, Any]) -> Any:
        scenario = self.scenario.with_(**changes) if changes else self.scenario
        return self.again.under(scenario, self.causes, self.only)[0]

    def shares(self, changes: Mapping[str, Any]) -> Array:
        """Share of loads by day in each hour, shape (24,)."""
        hours = self._run(changes).hour_loads
        return np.asarray(hours / max(float(hours.sum()), 1.0))

    def near(self, changes: Mapping[str, Any], burnt: float) -> bool:
        """Whether the season burns about as much as was noted."""
        fuel = self._run(changes).months.total("fuel")
        return abs(fuel - burnt) <= NEAR_FUEL * burnt

    def nights(self, changes: Mapping[str, Any]) -> float:
        """Nights up."""
        return float(self._run(changes).months.total("nights_up"))


def apart_h(one: Array, other: Array) -> float:
    """How far two distributions over the hours of the day lie apart, h.

    The least mean way that shares must be moved to make one of the other (the earth mover's
    distance: on a line the area between the two cumulated distributions), the day cut at night.
    """
    gap = np.cumsum(np.roll(one, -DAY_STARTS_H)) - np.cumsum(np.roll(other, -DAY_STARTS_H))
    return float(np.abs(gap).sum())


def _best(
    trial: _Trial, plan: Scenario, shares: Array, ups: float
) -> tuple[dict[str, Any], dict[str, Any]]:
    """Keys of the day, and of getting up.

    A load at night spares one in the morning, and an early bed makes nights up: so the day is
    judged under the plan's rule for getting up, and under the rule that alone gives as many nights
    up. Of the two ways the one is taken that ends nearer.
    """
    best: tuple[float, dict[str, Any], dict[str, Any]] | None = None
    for rule in ({}, _best_alarm(trial, plan, {}, ups)):
        day = _best_day(trial, plan, rule, shares)
        alarm = _best_alarm(trial, plan, day, ups)
        there_h = apart_h(shares, trial.shares(day | alarm)) + PER_KEY_H * len(day | alarm)
        if best is None or there_h < best[0]:
            best = (there_h, day, alarm)
        if not rule and not alarm:
            break
    return best[1:] if best is not None else ({}, {})


def _best_day(trial: _Trial, plan: Scenario, rule: dict[str, Any], shares: Array) -> dict[str, Any]:
    """Keys of the hours of tending that bring the loads nearest; nothing where the plan's do."""
    own_h = apart_h(shares, trial.shares(rule))
    best: tuple[float, dict[str, Any], float] = (own_h, {}, own_h)
    for changes in _days(plan, shares):
        try:
            there_h = apart_h(shares, trial.shares(changes | rule))
        except ScenarioError:
            continue  # such a day has too short a night, or a chore in it
        judged = there_h + PER_KEY_H * len(changes)
        if judged < best[0] - 1e-9:
            best = (judged, changes, there_h)
    return best[1] if own_h - best[2] > BETTER_H else {}


def _days(plan: Scenario, shares: Array) -> list[dict[str, Any]]:
    """Days that are tried: up and to bed earlier or later; at set hours; at any hour."""
    routine = plan.routine
    found: list[dict[str, Any]] = []
    shifts = range(-MOST_SHIFT_H, MOST_SHIFT_H + 1)
    for earlier, later in product(shifts, shifts):
        changes: dict[str, Any] = {}
        if earlier:
            changes["routine.up"] = _times(routine.up, earlier)
        if later:
            changes["routine.bed"] = _times(routine.bed, later)
        if changes:
            found.append(changes)
    if routine.chores:
        found.append({"routine.chores": None})
    hours = _busiest(shares)
    for count in range(1, len(hours) + 1):
        found.append(_chores(routine, sorted(hours[:count])))
    return found


def _busiest(shares: Array) -> list[int]:
    """Hours with the most loads, those beside a busier one left out."""
    left = shares.copy()
    found: list[int] = []
    while left.max() > 0.0 and len(found) < MOST_CHORES:
        hour = int(np.argmax(left))
        found.append(hour)
        left[[hour, (hour + 1) % 24, (hour - 1) % 24]] = 0.0
    return found


def _chores(routine: Any, hours: Sequence[int]) -> dict[str, Any]:
    """Tending at these hours alone, the day made long enough for them."""
    changes: dict[str, Any] = {"routine.chores": [f"{hour:02d}:00" for hour in hours]}
    day = [hour for hour in hours if hour >= DAY_STARTS_H]
    if not day:
        return changes
    up_h = max(max(routine.up_weekday, routine.up_weekend) - min(day), 0.0)
    beds = [bed if bed > DAY_STARTS_H else bed + 24.0
            for bed in (routine.bed_weekday, routine.bed_weekend)]  # fmt: skip
    bed_h = max(max(day) + 1.0 - min(beds), 0.0)
    if up_h:
        changes["routine.up"] = _times(routine.up, -up_h)
    if bed_h:
        changes["routine.bed"] = _times(routine.bed, bed_h)
    return changes


def _times(times: Any, shift_h: float) -> Any:
    """Times of day moved, as a scenario writes them."""
    weekday, weekend = (_clock(one + shift_h) for one in (times.weekday, times.weekend))
    return weekday if weekday == weekend else {"weekday": weekday, "weekend": weekend}


def _clock(hour: float) -> str:
    minutes = round(hour * 60.0) % 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def alike(one: float, other: float) -> bool:
    """Whether two numbers of nights up are as good as the same: within what chance does (the root
    of a count), or too few to speak of."""
    most = max(one, other)
    return abs(one - other) <= max(FEW_NIGHTS, NEAR_NIGHTS * most, most**0.5)


def _best_alarm(trial: _Trial, plan: Scenario, day: dict[str, Any], ups: float) -> dict[str, Any]:
    """The rule for getting up that gives as many nights up; nothing where the plan's does."""
    own = trial.nights(day)
    if alike(own, ups):
        return {}
    best: tuple[float, float, dict[str, Any]] = (abs(own - ups), 0.0, {})
    for far, changes in _alarms(plan):
        got = trial.nights(day | changes)
        if (abs(got - ups), far) < best[:2]:
            best = (abs(got - ups), far, changes)
    return best[2]


def _alarms(plan: Scenario) -> list[tuple[float, dict[str, Any]]]:
    """Rules that are tried, each with how far it lies from the plan's."""
    own = plan.routine.gets_up_below
    least_C = plan.crop.setpoint_night
    found: list[tuple[float, dict[str, Any]]] = []
    for degree in ALARMS_F:
        celsius = to_si(f"{degree} degF", "degC", "routine.gets_up_below", "36 degF")
        if celsius < least_C:
            far = abs(degree - fahrenheit(own)) if own is not None else float(degree)
            found.append((far, {"routine.gets_up_below": f"{degree} degF"}))
    if own is not None:
        found.append((100.0, {"routine.gets_up_below": "never"}))
    if plan.routine.clock_every is not None:
        without: dict[str, Any] = {"routine.clock_every": None}
        found = [*found, (50.0, without), *((100.0 + far, one | without) for far, one in found)]
    return found
