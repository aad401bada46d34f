"""Changed farms run through the same winters, each greenhouse prepared once.

What a change touches decides what is made anew: another fuel, firebox or get-up rule needs the
loop alone; another greenhouse, setpoint or season needs its winters and its ideal run too. All
greenhouses that are tried in a winter share its outdoors.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

from greenhouse_sim.drive.cache import made
from greenhouse_sim.drive.outdoors import Outdoors
from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.catalogue import labour
from greenhouse_sim.plans.ledgers import tasks_of
from greenhouse_sim.routine.calendar import calendar
from greenhouse_sim.routine.numbers import Calendar
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.ledger import Identity, make_ledger
from greenhouse_sim.season.many import cores, engine_name, run_many
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

Made = TypeVar("Made")
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
        self._known: list[dict[str, tuple[Winter, float]]] = [{} for _ in self.weather]
        """For each winter, the greenhouses that are held in it, the latest last."""
        self._outdoors: list[dict[int, Outdoors]] = [{} for _ in self.weather]
        self._calendars: dict[tuple[str, datetime, int], Calendar] = {}
        self._base_key, self._base_text = house_key(scenario), scenario.key()
        self._counting = threading.Lock()

    def run(
        self, scenarios: Sequence[Scenario], which: Sequence[int] | None = None
    ) -> list[list[Ledger]]:
        """Ledgers of each scenario's own heater, by scenario and winter.

        A core takes a winter at a time, from its greenhouses to its ledgers: no winter needs to
        know of another.

        Parameters
        ----------
        scenarios
            Changes of `base`.
        which
            Places of the winters to run; all where None.
        """
        places = list(range(len(self.weather))) if which is None else list(which)
        alone = 1 if len(places) > 1 else None
        houses = self._houses(scenarios)

        def of(place: int) -> list[Ledger]:
            ledgers = [one.ledger for one in self._seasons(houses, place, False, alone)]
            self._forget(place)
            return ledgers

        found = self._each(of, places)
        return [list(row) for row in zip(*found, strict=True)] if places else [[] for _ in houses]

    def traced(self, scenarios: Sequence[Scenario]) -> list[list[Season]]:
        """Every season of each scenario's own heater in all winters, with its hourly trace."""
        places = range(len(self.weather))
        alone = 1 if len(places) > 1 else None
        houses = self._houses(scenarios)
        found = self._each(lambda place: self._seasons(houses, place, True, alone), places)
        return [list(row) for row in zip(*found, strict=True)] if places else [[] for _ in houses]

    def _each(self, work: Callable[[int], list[Made]], places: Sequence[int]) -> list[list[Made]]:
        """``work`` on every winter, in order; the very first alone, for it may have to compile."""
        if self.engine == "python" or len(places) < 2:
            return [work(place) for place in places]
        first = [] if self.seasons else [work(places[0])]
        with ThreadPoolExecutor(cores()) as pool:
            return [*first, *pool.map(work, places[len(first) :])]

    def _seasons(
        self, houses: Sequence[_Changed], place: int, traced: bool, workers: int | None
    ) -> list[Season]:
        """Every scenario in one winter."""
        self._prepare(houses, place, workers)
        known = self._known[place]
        tasks = [
            task._replace(traced=traced)
            for one in houses
            for task in tasks_of(one.scenario, one.scenario.heater.kind, [known[one.key][0]])
        ]
        done = run_many(tasks, self.engine, workers)
        with self._counting:
            self.seasons += len(tasks)
            if self._advance is not None:
                self._advance(len(tasks))
        return [
            Season(
                _ledger(one.who, *known[one.key], ran.total, ran.month_kg),
                known[one.key][0],
                ran.trace,
            )
            for one, ran in zip(houses, done, strict=True)
        ]

    def need_kWh(self, place: int) -> float:
        """What the farm as it is needs in a winter."""
        return self._known[place][self._base_key][1]

    def _prepare(self, houses: Sequence[_Changed], place: int, workers: int | None) -> None:
        """Prepare what is not known yet of a winter, ideal runs included."""
        # the first of a key: the farm itself, where it is among them, is read from disk
        wanted: dict[str, _Changed] = {}
        for one in houses:
            if one.key not in self._known[place]:
                wanted.setdefault(one.key, one)
        if not wanted:
            return
        habit = self.base.routine.looks_ahead == "habit"
        column = at.TRACE.index("heater_W")
        fresh = [self._fresh(one, place) for one in wanted.values()]
        settled, ideal = held_ideally(self.base, fresh, self.engine, workers)
        for key, winter, tallied in zip(wanted, settled, ideal, strict=True):
            need = float(tallied.total[at.HEAT_J]) / KWH_J
            seen = expecting(winter, tallied.trace[:, column], habit)
            self._known[place][key] = (seen, need)

    def _forget(self, place: int) -> None:
        """Let go of what is not likely to be asked for again; the farm as it is stays."""
        known = self._known[place]
        more = self.again is None or place in self.again
        others = [key for key in known if key != self._base_key]
        for key in others[: max(len(others) - MOST_HOUSES, 0)] if more else others:
            del known[key]
        if not more:
            self._outdoors[place].clear()

    def _fresh(self, one: _Changed, place: int) -> Winter:
        weather = self.weather[place]
        if one.is_base:
            return ready(one.scenario, weather)
        if one.late:
            weather = trimmed(weather, one.late)
        outdoors = self._outdoors[place].setdefault(one.late, Outdoors(weather))
        house, drive, moisture = made(one.scenario, outdoors.weather, outdoors)
        days = self._calendar(one, weather)
        return Winter(outdoors.weather, house, drive, days, walk_of(house, drive), moisture)

    def _calendar(self, one: _Changed, weather: Weather) -> Calendar:
        """The grower's hours; most changes leave them alone."""
        key = (one.days, weather.start, weather.hours)
        if key not in self._calendars:
            site, routine = one.scenario.site, one.scenario.routine
            self._calendars[key] = calendar(routine, site.power_cuts, weather.start, weather.hours)
        return self._calendars[key]

    def _houses(self, scenarios: Sequence[Scenario]) -> list[_Changed]:
        """Scenarios with what is the same of them in all winters."""
        return [
            _Changed(
                scenario,
                house_key(scenario),
                scenario.key() == self._base_text,
                _days_late(self.base, scenario),
                f"{scenario.routine.model_dump_json()} {scenario.site.power_cuts}",
                _identity(scenario),
            )
            for scenario in scenarios
        ]


class _Changed(NamedTuple):
    """A scenario, and what of it every winter would find out again."""

    scenario: Scenario
    key: str
    """Of its greenhouse (`house_key`)."""
    is_base: bool
    """Whether it is the farm as it stands."""
    late: int
    """Days by which its season starts after the farm's own."""
    days: str
    """What its calendars hang on beside the winter's dates."""
    who: Identity
    """Of its ledgers, but for the winter's name."""


def house_key(scenario: Scenario) -> str:
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
