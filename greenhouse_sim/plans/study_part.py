"""Run one part of a study: points in, a Parquet file's bytes out."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

import numpy as np

from greenhouse_sim.drive.outdoors import Outdoors
from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.plans.design_of_study import Design, Part, Point
from greenhouse_sim.plans.ledgers import (
    Held,
    calendar_key,
    calendars_in,
    ended,
    held,
    identity,
    tasks_of,
    tended,
)
from greenhouse_sim.plans.study_columns import parquet
from greenhouse_sim.season.ledger_columns import Ended, make_ledgers
from greenhouse_sim.season.many import run_many
from greenhouse_sim.season.run import ready

if TYPE_CHECKING:
    from greenhouse_sim.plans.study import Place
    from greenhouse_sim.routine.numbers import Calendar
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.scenario.section import Section
    from greenhouse_sim.season.ledger import Identity
    from greenhouse_sim.season.many import Task
    from greenhouse_sim.season.run import Winter

HOUSES_HELD = 8
"""Greenhouses whose winters are held at a time: a winter takes a megabyte and more."""
ROUTINES_HELD = 4
"""Routines whose hours are held at a time: a winter's take a third of a megabyte."""
MOST_ON_DISK = 16
"""Greenhouses of a study that are worth keeping for the next run of it."""
MOST_SHARING = 16
"""Greenhouses that share a winter's outdoors; what it holds grows with each."""


Made = TypeVar("Made")


class _Farm(NamedTuple):
    """A point, ready to be run."""

    point: Point
    houses: list[Held]
    whose: list[Identity]
    """Of each heater's ledgers."""
    tasks: list[Task]
    """Every heater in every winter."""


class Runner:
    """Runs parts of a study, one after another; remembers the last house's winters.

    With each of a few routines, too: they may alternate from point to point.
    """

    def __init__(self, design: Design, engine: str, workers: int | None = None) -> None:
        self.design, self.engine, self.workers = design, engine, workers
        self._last: tuple[Place | None, tuple[Section, ...], list[Held]] = (None, (), [])
        self._days_at: tuple[Place | None, dict[str, list[Calendar]]] = (None, {})
        self._tended_in: tuple[list[Held], dict[str, list[Winter]]] = ([], {})
        self._shared: tuple[Place | None, list[Outdoors]] = (None, [])
        self._sharing = 0

    def columns(self, part: Part) -> dict[str, Any]:
        """The seasons of a part in columns: point, place, what is varied, then the ledger."""
        # by `map`, which lets go of farms that have been run: the next need the room
        ran = [one for some in map(self._seasons, self._farms(part)) for one in some]
        return _columns(*zip(*ran, strict=True))

    def _farms(self, part: Part) -> Iterator[list[_Farm]]:
        """The farms of a part, as many at a time as may stand in the greenhouses held."""
        farms: list[_Farm] = []
        changes = 0
        for number in range(part.first, part.last):
            point = self.design.point(number)
            scenario = self._scenario(point)
            houses = self._held(scenario, point)
            changes += bool(farms) and houses is not farms[-1].houses
            if changes == HOUSES_HELD:
                yield farms
                farms, changes = [], 0
            farms.append(self._farm(point, scenario, houses))
        yield farms

    def _scenario(self, point: Point) -> Scenario:
        try:
            return point.place.scenario(point.changes)
        except ScenarioError as problem:
            said = ", ".join(f"{key} = {value}" for key, value in point.changes.items())
            raise ScenarioError(
                f"{self.design.study.file}: {said} do not go together: {problem}"
            ) from None

    def _farm(self, point: Point, scenario: Scenario, houses: list[Held]) -> _Farm:
        winters = self._tended(scenario, point.place, houses)
        kinds = self.design.study.heaters
        tasks = [one for kind in kinds for one in tasks_of(scenario, kind, winters)]
        return _Farm(point, houses, [identity(scenario, kind) for kind in kinds], tasks)

    def _seasons(self, farms: Sequence[_Farm]) -> list[tuple[Point, Ended]]:
        """Every heater in every winter of these farms.

        All runs after all tasks: a run pushes the interpreter out of the core's caches, and what
        follows takes five times as long.
        """
        tasks = [one for farm in farms for one in farm.tasks]
        done = iter(run_many(tasks, self.engine, self.workers))
        return [
            (farm.point, one)
            for farm in farms
            for who in farm.whose
            for one in ended(who, farm.houses, done)
        ]

    def _held(self, scenario: Scenario, point: Point) -> list[Held]:
        sections: tuple[Section, ...] = (scenario.site, scenario.greenhouse, scenario.crop)
        if scenario.heater.kind == "ideal":
            sections = (*sections, scenario.heater)
        if self._last[0] is not point.place or not _same(self._last[1], sections):
            prepared = self._prepared(scenario, point.place)
            found = held(scenario, prepared, self.engine, self.workers)
            self._last = (point.place, sections, found)
        return self._last[2]

    def _prepared(self, scenario: Scenario, place: Place) -> list[Winter]:
        days = self._days(scenario, place)
        if self.design.houses <= MOST_ON_DISK:
            return [
                ready(scenario, weather, days=one)
                for weather, one in zip(place.winters, days, strict=True)
            ]
        if self._shared[0] is not place or self._sharing == MOST_SHARING:
            self._shared = (place, [Outdoors(weather) for weather in place.winters])
            self._sharing = 0
        self._sharing += 1
        return [
            ready(scenario, outdoors.weather, outdoors, one)
            for outdoors, one in zip(self._shared[1], days, strict=True)
        ]

    def _days(self, scenario: Scenario, place: Place) -> list[Calendar]:
        if self._days_at[0] is not place:
            self._days_at = (place, {})
        key = _days_key(scenario)
        return _known(self._days_at[1], key, lambda: calendars_in(scenario, place.winters))

    def _tended(self, scenario: Scenario, place: Place, houses: list[Held]) -> list[Winter]:
        if self._tended_in[0] is not houses:
            self._tended_in = (houses, {})
        key = f"{_days_key(scenario)} {scenario.routine.looks_ahead}"
        return _known(
            self._tended_in[1],
            key,
            lambda: tended(scenario, houses, self._days(scenario, place)),
        )


def _days_key(scenario: Scenario) -> str:
    return f"{calendar_key(scenario)} {scenario.site.power_cuts}"


def _known(kept: dict[str, Made], key: str, make: Callable[[], Made]) -> Made:
    """What is kept under a key, or is made now; the first that was kept is let go of."""
    if key not in kept:
        if len(kept) == ROUTINES_HELD:
            del kept[next(iter(kept))]
        kept[key] = make()
    return kept[key]


def _same(some: Sequence[Section], others: Sequence[Section]) -> bool:
    """Whether sections hold the same values; those that are the very same need no look."""
    return len(some) == len(others) and all(
        one is other or one.model_dump_json() == other.model_dump_json()
        for one, other in zip(some, others, strict=True)
    )


def _columns(points: Sequence[Point], seasons: Sequence[Ended]) -> dict[str, Any]:
    """Points and the seasons that were run there, in columns."""
    columns: dict[str, Any] = {
        "point": np.array([point.number for point in points]),
        "place": [point.place.name for point in points],
    }
    for name in points[0].values:
        columns[name] = [point.values[name] for point in points]
    for key, column in make_ledgers(seasons).items():
        if isinstance(column, dict):
            columns |= {f"{key}_{part}": one for part, one in column.items()}
        elif key != "site":  # the place has its own column
            columns[key] = column
    return columns


_HERE = threading.local()


def run_part(
    study_key: str, design: Design, engine: str, part: Part, workers: int | None = 1
) -> bytes:
    """Run a part in a worker: one thread of it remembers the last house that it ran.

    Parameters
    ----------
    study_key
        Hash of the study, so that another study's house is never taken.
    design, engine
        What to run.
    part
        Which part.
    workers
        Threads of the loop; the same for all parts.
    """
    if getattr(_HERE, "key", None) != study_key:
        _HERE.key, _HERE.runner = study_key, Runner(design, engine, workers)
    return parquet(design, _HERE.runner.columns(part))
