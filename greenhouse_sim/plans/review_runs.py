"""The farm run again with some of the causes as they were: seasons by month."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.numbers import Heater
from greenhouse_sim.plans import ledgers
from greenhouse_sim.plans.foreseen import Work, done_all, prepared
from greenhouse_sim.plans.labour import rates
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import engine_for
from greenhouse_sim.season.run import ROUNDS, Winter, scenario_fuel
from greenhouse_sim.season.visit import LOOK_S
from greenhouse_sim.units import SHORT_TON_KG
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.heater.fuel import Fuel
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
WEATHER, WOOD, HOUSE, HABIT = "weather", "wood", "house", "habit"
ORDER = (WEATHER, WOOD, HOUSE, HABIT)
"""Causes, in the order in which they are told."""
QUANTITIES = ("fuel", "loads", "visits", "nights_up", "hours")
"""What adds up over the months."""
NOON_H = 12
AIR, HEAT, LOADED, WOKEN, VISIT = (
    at.TRACE.index(name) for name in ("air_C", "heater_W", "loaded_kg", "woken", "visit")
)


class Months(NamedTuple):
    """A winter by month: arrays of shape (months,)."""

    fuel: Array
    """Cords of wood (each of its own wood as it was burnt), kg of pellets."""
    loads: Array
    visits: Array
    """Loads, and looks at the fire without one."""
    nights_up: Array
    """A night belongs to the month of its evening."""
    hours: Array
    """Work, h: loading with the ash, carrying, night visits, looking in."""
    coldest_C: Array
    """The coldest air, °C; nan where it was not read."""

    def total(self, quantity: str) -> float:
        """Sum of one of `QUANTITIES` over the winter."""
        return float(np.sum(getattr(self, quantity)))


class Ran(NamedTuple):
    """One season run."""

    months: Months
    daily_fuel: Array
    """Shape (days,), as `Months.fuel`."""
    hour_loads: Array
    """Loads by hour of the day, those got up for left out; shape (24,)."""
    trace: Array
    """Shape (hours, tally.TRACE_SIZE)."""


def per_kg(fuel: Fuel) -> float:
    """Cords in a kilogram of a wood; 1 for what is counted by weight."""
    return 1.0 / fuel.cord_kg if fuel.cord_kg else 1.0


def carrying_h(scenario: Scenario, fuel: Fuel) -> float:
    """Hours of carrying for each unit of `Months.fuel`."""
    rate = rates(scenario)
    return rate["carrying"] if fuel.cord_kg else rate["carrying_pellets"] / SHORT_TON_KG


def nights(start: datetime, hours: int) -> Array:
    """Number of the night that each hour belongs to; one ends at noon. Shape (hours,)."""
    return (start.hour + NOON_H + np.arange(hours)) // 24


class Again:
    """The farm, to be run with any of its causes as they were.

    Parameters
    ----------
    plan
        The scenario as it was planned, with as much fuel as it takes.
    changes
        Cause to the keys of the scenario that it changes, with their values.
    past, this
        The plan's winters; this winter's, None where it is not known.
    work
        How it is done and told.
    """

    def __init__(
        self,
        plan: Scenario,
        changes: Mapping[str, Mapping[str, Any]],
        past: Sequence[Weather],
        this: Weather | None,
        work: Work,
    ) -> None:
        self.plan, self.changes = plan, dict(changes)
        self.past, self.this = list(past), this
        self.work = work.settled(2 * (ROUNDS + 2) * (len(self.past) + 1) + 100)
        self._held: dict[bool, list[ledgers.Held]] = {}
        engine_for(self.work.engine, work.tell)

    @property
    def causes(self) -> tuple[str, ...]:
        """What is known of this winter and differs, or may differ, from the plan."""
        known = {cause for cause, keys in self.changes.items() if keys}
        if self.this is not None:
            known.add(WEATHER)
        return tuple(cause for cause in ORDER if cause in known)

    def scenario(self, causes: frozenset[str]) -> Scenario:
        """The scenario with these causes as they were."""
        keys = {
            key: value
            for cause in ORDER
            if cause in causes
            for key, value in self.changes.get(cause, {}).items()
        }
        return self.plan.with_(**keys) if keys else self.plan

    def run(self, causes: frozenset[str]) -> list[Ran]:
        """Every past winter, or this one alone where the weather is to be as it was."""
        return self.under(self.scenario(causes), causes)

    def under(
        self, scenario: Scenario, causes: frozenset[str], only: int | None = None
    ) -> list[Ran]:
        """The same with a scenario that differs in nothing that the house feels.

        ``only`` picks one of the past winters.
        """
        held = self._of_house(HOUSE in causes)
        if WEATHER in causes:
            chosen = held[-1:]
        else:
            chosen = held[: len(self.past)]
            if only is not None:
                chosen = chosen[only : only + 1]
        days = ledgers.calendars(scenario, chosen)
        winters = ledgers.tended(scenario, chosen, days)
        kind = scenario.heater.kind
        tasks = [task._replace(traced=True) for task in ledgers.tasks_of(scenario, kind, winters)]
        done = done_all(tasks, self.work)
        fuel = default_fuel(kind, scenario_fuel(scenario))
        carrying = carrying_h(scenario, fuel)
        return [
            _ran(winter, task.heater, tallied.trace, per_kg(fuel), carrying)
            for winter, task, tallied in zip(winters, tasks, done, strict=True)
        ]

    @property
    def setpoint(self) -> Array:
        """This winter's setpoint, °C, shape (hours,)."""
        return self._of_house(HOUSE in self.causes)[-1].winter.drive.setpoint

    def _of_house(self, as_it_was: bool) -> list[ledgers.Held]:
        """The past winters and this one in the greenhouse, held at their setpoint."""
        if as_it_was not in self._held:
            scenario = self.scenario(frozenset({HOUSE}) if as_it_was else frozenset())
            weather = [*self.past, *([self.this] if self.this is not None else [])]
            ready = prepared(scenario, weather, self.work)
            self._held[as_it_was] = ledgers.held(scenario, ready, self.work.engine)
        return self._held[as_it_was]


def _ran(winter: Winter, heater: Heater, trace: Array, per: float, carrying: float) -> Ran:
    """A season's trace by month, by day, and by hour of the day."""
    start, hours = winter.weather.start, winter.weather.hours
    month = winter.calendar.month.astype(int)
    count = int(month[-1]) + 1
    loaded, woken, visit = trace[:, LOADED], trace[:, WOKEN] > 0.0, trace[:, VISIT] > 0.0
    load = loaded > 0.0
    fuel = loaded * per
    spent_s = (
        load * heater.load_s
        + loaded * heater.ash_s_kg
        + woken * heater.night_s
        + (visit & ~load) * LOOK_S
    )
    coldest = np.full(count, np.inf)
    np.minimum.at(coldest, month, trace[:, AIR])
    clock = (start.hour + np.arange(hours)) % 24

    def by_month(values: Array) -> Array:
        return np.bincount(month, weights=values, minlength=count).astype(float)

    months = Months(
        by_month(fuel),
        by_month(load),
        by_month(visit),
        _nights_by_month(winter, woken, count),
        by_month(spent_s / 3600.0 + fuel * carrying),
        coldest,
    )
    day = (start.hour + np.arange(hours)) // 24
    own = load & ~woken
    return Ran(
        months,
        np.bincount(day, weights=fuel),
        np.bincount(clock, weights=own, minlength=24).astype(float),
        trace,
    )


def _nights_by_month(winter: Winter, woken: Array, count: int) -> Array:
    """Nights with somebody up, by the month of the evening."""
    start = winter.weather.start
    numbers = nights(start, winter.weather.hours)
    first = (start - timedelta(hours=start.hour + NOON_H)).date()
    found = np.zeros(count)
    for number in np.unique(numbers[woken]):
        evening = first + timedelta(days=int(number))
        month = (evening.year - start.year) * 12 + evening.month - start.month
        found[min(max(month, 0), count - 1)] += 1.0
    return found
