"""Ways to spend the night: never get up, get up when the alarm says, set a clock."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.heater.numbers import SET_AND_LEAVE, Heater
from greenhouse_sim.routine.calendar import NEVER_C
from greenhouse_sim.routine.chances import nights_wanted, with_clock
from greenhouse_sim.season.many import Task
from greenhouse_sim.season.run import Winter
from greenhouse_sim.tables.read import read_keyed
from greenhouse_sim.units import to_si

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
CLOCKS_H = (6, 4, 3, 2)
"""Hours between rings that are tried (judgement: what people set)."""
WAYS = 2 + len(CLOCKS_H)
"""Rules that are tried in all."""


class Rule(NamedTuple):
    """A way to spend the night."""

    name: str
    below_C: float | None
    """Air at which an alarm gets the grower up; None for none."""
    every_h: int | None
    """Hours between rings of a clock; None for none."""


def alarm_C(scenario: Scenario) -> float:
    """Air temperature of the alarm, °C: the scenario's, or the usual one where it says never."""
    own = scenario.routine.gets_up_below
    if own is not None:
        return own
    row = read_keyed("defaults")["routine.gets_up_below"]
    usual = to_si(f"{row.value} {row.unit}", "degC", row.key, "36 degF")
    return min(usual, scenario.crop.setpoint_night)


def rules(scenario: Scenario) -> tuple[Rule, ...]:
    """The rules that are tried."""
    clocks = tuple(Rule(f"clock every {hours} h", None, hours) for hours in CLOCKS_H)
    return (Rule("never", None, None), Rule("alarm", alarm_C(scenario), None), *clocks)


def under(rule: Rule, tasks: Sequence[Task], winters: Sequence[Winter]) -> list[Task]:
    """Tasks of one heater under a rule, winter by winter.

    Nobody gets up to sit by a fire that must be watched, so no clock is set for one. For a fire
    that is set and left it is set on the nights that one full load will not last; for all others
    the rings at which there is something to do are few anyway.
    """
    below = NEVER_C if rule.below_C is None else rule.below_C
    found = []
    for task, winter in zip(tasks, winters, strict=True):
        days = task.calendar
        if rule.every_h is not None and task.heater.watch_share <= 0.0:
            wanted = None
            if task.heater.law == SET_AND_LEAVE:
                short = nights_short(task, winter)
                wanted = nights_wanted(days, short)
            days = with_clock(days, rule.every_h, wanted)
        found.append(task._replace(calendar=days, habits=task.habits._replace(gets_up_below=below)))
    return found


def nights_short(task: Task, winter: Winter) -> Array:
    """Which nights one full load will not last, by number of the night: need over load."""
    night = task.calendar.night.astype(int)
    asleep = night >= 0
    count = int(night.max()) + 1 if asleep.any() else 1
    need_j = np.diff(winter.walk.hours.need_sum_j)
    needed = np.bincount(night[asleep], weights=need_j[asleep], minlength=count)
    return np.asarray(task.habits.margin * needed > load_j(task.heater))


def load_j(heater: Heater) -> float:
    """Useful heat of a full load, J."""
    return heater.charge_kg * heater.heat_j_kg * heater.efficiency_max
