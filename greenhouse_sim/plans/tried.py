"""Changed farms run through the same winters, each greenhouse prepared once.

What a change touches decides what is made anew: another fuel, firebox or get-up rule needs the
loop alone; another greenhouse, setpoint or season needs its winters and its ideal run too. All
greenhouses that are tried in a winter share its outdoors.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from greenhouse_sim.drive.cache import made
from greenhouse_sim.drive.outdoors import Outdoors
from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.catalogue import labour
from greenhouse_sim.plans.ledgers import tasks_of
from greenhouse_sim.routine.calendar import calendar
from greenhouse_sim.routine.numbers import Calendar
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
)
from greenhouse_sim.units import KWH_J
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Ledger = Mapping[str, Any]
Advance = Callable[[int], None]
MANY = 1000
"""Seasons enough for the compiled engine always to be worth its start."""
MOST_HOUSES = 40
"""Changed greenhouses whose winters are held, the latest: a winter takes a megabyte and more."""
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
        self.again: frozenset[int] | None = None
        """Places of the winters that more will be tried in, whose preparations are held; all where
        None."""
        self._advance = advance
        self._known: dict[str, dict[int, tuple[Winter, float]]] = {}
        self._outdoors: dict[tuple[int, int], Outdoors] = {}
        self._calendars: dict[tuple[str, datetime, int], Calendar] = {}

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
        rows: list[list[Ledger]] = [[] for _ in scenarios]
        for place in places:
            for row, (season,) in zip(rows, self._seasons(scenarios, [place], False), strict=True):
                row.append(season.ledger)
            self._forget(place)
        return rows

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
            who = _identity(scenario)
            winters = [known[place][0] for place in places]
            tasks += tasks_of(scenario, scenario.heater.kind, winters)
            whose += [(who, *known[place]) for place in places]
        done = run_many([one._replace(traced=traced) for one in tasks], self.engine)
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
        """Prepare what is not known yet, ideal runs included: winter by winter.

        So the traces of the ideal runs of one winter are all that is held at a time.
        """
        houses: dict[str, Scenario] = {}
        for scenario in scenarios:
            # the first of a key: the farm itself, where it is among them, is read from disk
            houses.setdefault(_house_key(scenario), scenario)
        habit = self.base.routine.looks_ahead == "habit"
        column = at.TRACE.index("heater_W")
        for place in places:
            wanted = [key for key in houses if place not in self._known.setdefault(key, {})]
            if not wanted:
                continue
            fresh = [self._fresh(houses[key], place) for key in wanted]
            settled, ideal = held_ideally(self.base, fresh, self.engine)
            for key, winter, tallied in zip(wanted, settled, ideal, strict=True):
                need = float(tallied.total[at.HEAT_J]) / KWH_J
                seen = expecting(winter, tallied.trace[:, column], habit)
                self._known[key][place] = (seen, need)

    def _forget(self, place: int) -> None:
        """Let go of what is not likely to be asked for again; the farm as it is stays."""
        base = _house_key(self.base)
        others = [key for key in self._known if key != base]
        for key in others[: max(len(others) - MOST_HOUSES, 0)]:
            del self._known[key]
        if self.again is None or place in self.again:
            return
        for key in others[-MOST_HOUSES:]:
            self._known[key].pop(place, None)
        for shared in [one for one in self._outdoors if one[0] == place]:
            del self._outdoors[shared]

    def _fresh(self, scenario: Scenario, place: int) -> Winter:
        weather = self.weather[place]
        if scenario.key() == self.base.key():
            return ready(scenario, weather)
        late = _days_late(self.base, scenario)
        if late:
            weather = trimmed(weather, late)
        outdoors = self._outdoors.setdefault((place, late), Outdoors(weather))
        house, drive, moisture = made(scenario, outdoors.weather, outdoors)
        days = self._calendar(scenario, weather)
        return Winter(outdoors.weather, house, drive, days, walk_of(house, drive), moisture)

    def _calendar(self, scenario: Scenario, weather: Weather) -> Calendar:
        """The grower's hours; most changes leave them alone."""
        key = (scenario.routine.model_dump_json(), weather.start, weather.hours)
        if key not in self._calendars:
            cuts = scenario.site.power_cuts
            self._calendars[key] = calendar(scenario.routine, cuts, weather.start, weather.hours)
        return self._calendars[key]


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


def _identity(scenario: Scenario) -> Identity:
    """Whose ledger it is, but for the winter's name."""
    kind, count = scenario.heater.kind, scenario.heater.count
    build_h = labour(kind).build_min / 60.0 * count
    fuel = default_fuel(kind, scenario_fuel(scenario))
    return Identity(kind, count, "", scenario.site.name, fuel, build_h)


def _ledger(who: Identity, winter: Winter, need_kWh: float, total: Any, month_kg: Any) -> Ledger:
    weather = winter.weather
    return make_ledger(
        who._replace(winter=weather.name), weather, total, month_kg, need_kWh, winter.damp
    )
