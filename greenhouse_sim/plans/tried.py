"""Changed farms run through the same winters, each greenhouse prepared once.

What a change touches decides what is made anew: another fuel, firebox or get-up rule needs the
loop alone; another greenhouse, setpoint or season needs its winters and its ideal run too.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from greenhouse_sim.drive.cache import made
from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.catalogue import labour
from greenhouse_sim.routine.calendar import calendar
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.ledger import Identity, make_ledger
from greenhouse_sim.season.many import engine_name, run_many
from greenhouse_sim.season.modes import walk_of
from greenhouse_sim.season.run import (
    Season,
    Winter,
    expecting,
    held_ideally,
    ready,
    scenario_fuel,
    task,
)
from greenhouse_sim.units import KWH_J
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Ledger = Mapping[str, Any]
Advance = Callable[[int], None]
MANY = 1000
"""Seasons enough for the compiled engine always to be worth its start."""
YEAR = 2001


class Tried:
    """Scenarios that differ from one farm, run through that farm's winters."""

    def __init__(
        self,
        scenario: Scenario,
        weather: Sequence[Weather],
        engine: str = "auto",
        advance: Advance | None = None,
    ) -> None:
        self.base = scenario
        self.weather = list(weather)
        self.engine = engine_name(engine, MANY)
        self.seasons = 0
        """Seasons of the scenario's heater run so far."""
        self._advance = advance
        self._known: dict[str, dict[int, tuple[Winter, float]]] = {}

    def run(
        self, scenarios: Sequence[Scenario], which: Sequence[int] | None = None
    ) -> list[list[Ledger]]:
        """Ledgers of each scenario's own heater, by scenario and winter.

        Parameters
        ----------
        scenarios
            Changes of `base`.
        which
            Places of the winters to run; all where None.
        """
        places = list(range(len(self.weather))) if which is None else list(which)
        return [[one.ledger for one in row] for row in self._seasons(scenarios, places, False)]

    def traced(self, scenarios: Sequence[Scenario]) -> list[list[Season]]:
        """Every season of each scenario's own heater in all winters, with its hourly trace."""
        return self._seasons(scenarios, range(len(self.weather)), True)

    def _seasons(
        self, scenarios: Sequence[Scenario], places: Sequence[int], traced: bool
    ) -> list[list[Season]]:
        self._prepare(scenarios, places)
        tasks, whose = [], []
        for scenario in scenarios:
            known = self._known[_house_key(scenario)]
            for place in places:
                winter, need = known[place]
                tasks.append(task(scenario, winter, scenario.heater.kind, traced))
                whose.append((scenario, winter, need))
        done = run_many(tasks, self.engine)
        self.seasons += len(tasks)
        if self._advance is not None:
            self._advance(len(tasks))
        rows = [
            Season(_ledger(*who, tallied.total, tallied.month_kg), who[1], tallied.trace)
            for who, tallied in zip(whose, done, strict=True)
        ]
        many = len(places)
        return [rows[i * many : (i + 1) * many] for i in range(len(scenarios))]

    def need_kWh(self, place: int) -> float:
        """What the farm as it is needs in a winter."""
        return self._known[_house_key(self.base)][place][1]

    def _prepare(self, scenarios: Sequence[Scenario], places: Sequence[int]) -> None:
        """Prepare what is not known yet, ideal runs included."""
        wanted: dict[tuple[str, int], Scenario] = {}
        for scenario in scenarios:
            key = _house_key(scenario)
            known = self._known.setdefault(key, {})
            wanted |= {(key, place): scenario for place in places if place not in known}
        if not wanted:
            return
        fresh = [self._fresh(scenario, place) for (_, place), scenario in wanted.items()]
        settled, ideal = held_ideally(self.base, fresh, self.engine)
        habit = self.base.routine.looks_ahead == "habit"
        column = at.TRACE.index("heater_W")
        for (key, place), winter, tallied in zip(wanted, settled, ideal, strict=True):
            need = float(tallied.total[at.HEAT_J]) / KWH_J
            seen = expecting(winter, tallied.trace[:, column], habit)
            self._known[key][place] = (seen, need)

    def _fresh(self, scenario: Scenario, place: int) -> Winter:
        weather = self.weather[place]
        if scenario.key() == self.base.key():
            return ready(scenario, weather)
        late = _days_late(self.base, scenario)
        if late:
            weather = trimmed(weather, late)
        house, drive, moisture = made(scenario, weather)
        days = calendar(scenario.routine, scenario.site.power_cuts, weather.start, weather.hours)
        return Winter(weather, house, drive, days, walk_of(house, drive), moisture)


def _house_key(scenario: Scenario) -> str:
    """All that a prepared winter and its ideal run depend on."""
    parts = (scenario.site, scenario.greenhouse, scenario.crop)
    return "\n".join(part.model_dump_json() for part in parts)


def _days_late(base: Scenario, other: Scenario) -> int:
    """Days by which another season starts after the farm's own."""
    first = date(YEAR, *base.site.season_start)
    return (date(YEAR, *other.site.season_start) - first).days % 365


def trimmed(weather: Weather, days: int) -> Weather:
    """A winter without its first days."""
    first = 24 * days
    changes: dict[str, Any] = {name: values[first:] for name, values in weather.columns().items()}
    return replace(weather, start=weather.start + timedelta(days=days), gaps=(), **changes)


def _ledger(
    scenario: Scenario, winter: Winter, need_kWh: float, total: Any, month_kg: Any
) -> Ledger:
    kind, count = scenario.heater.kind, scenario.heater.count
    build_h = labour(kind).build_min / 60.0 * count
    fuel = default_fuel(kind, scenario_fuel(scenario))
    weather = winter.weather
    who = Identity(kind, count, weather.name, scenario.site.name, fuel, build_h)
    return make_ledger(who, weather, total, month_kg, need_kWh, winter.damp)
