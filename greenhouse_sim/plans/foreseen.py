"""Winters made ready once, as the grower expects them, to be run under many rules."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.ledger import Identity, check_balance
from greenhouse_sim.season.many import Advance, Tallied, Task, Tell, engine_name, run_many
from greenhouse_sim.season.run import (
    ROUNDS,
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

Array = np.ndarray
HEATER_W = at.TRACE.index("heater_W")


class Work(NamedTuple):
    """How work is done and told: see `greenhouse_sim.season.many.run_many`."""

    engine: str = "auto"
    tell: Tell | None = None
    advance: Advance | None = None

    def settled(self, seasons: int) -> Work:
        """The same, with the engine that ends so many seasons sooner."""
        return self._replace(engine=engine_name(self.engine, seasons))

    def step(self) -> None:
        """Count a step of the work."""
        if self.advance is not None:
            self.advance(1)


def prepared(
    scenario: Scenario, weather: Sequence[Weather], work: Work | None = None
) -> tuple[Winter, ...]:
    """Every winter of the scenario, without what the grower expects of it (`foreseen`).

    Raises
    ------
    ScenarioError
        There is no winter.
    """
    if not weather:
        raise ScenarioError("[site] weather: no winter to run; write at least one weather file")
    done = []
    for record in weather:
        done.append(ready(scenario, record))
        if work is not None:
            work.step()
    return tuple(done)


def foreseen(
    scenario: Scenario, winters: Sequence[Winter], work: Work | None = None
) -> tuple[Winter, ...]:
    """The winters as the grower expects them: with the heat that the setpoint will ask for."""
    return with_needs(scenario, winters, work)[0]


def with_needs(
    scenario: Scenario, winters: Sequence[Winter], work: Work | None = None
) -> tuple[tuple[Winter, ...], tuple[float, ...]]:
    """The same, and what the setpoint asks for in each, kWh."""
    how = (work or Work()).settled(len(winters) * (ROUNDS + 2))
    settled, ideal = held_ideally(scenario, winters, how.engine, None, how.tell)
    if how.advance is not None:
        how.advance(len(settled))
    habit = scenario.routine.looks_ahead == "habit"
    seen = tuple(
        expecting(winter, ran.trace[:, HEATER_W], habit)
        for winter, ran in zip(settled, ideal, strict=True)
    )
    return seen, tuple(float(ran.total[at.HEAT_J]) / KWH_J for ran in ideal)


def done_all(tasks: Sequence[Task], work: Work) -> list[Tallied]:
    """Run seasons; each must close its energy balance.

    Raises
    ------
    BalanceError
        A season's energy does not close.
    """
    done = run_many(tasks, work.engine, None, work.tell, work.advance) if tasks else []
    for number, one in enumerate(done):
        check_balance(one.total, Identity("a season", 1, f"number {number + 1}", "", None))
    return done


def totals(tasks: Sequence[Task], work: Work) -> Array:
    """The tallies of seasons, shape (tasks, tally.SIZE)."""
    return np.array([one.total for one in done_all(tasks, work)])


def tasks_of(
    scenario: Scenario, winters: Sequence[Winter], kind: str, traced: bool = False
) -> list[Task]:
    """This heater in each of the winters."""
    return [task(scenario, one, kind, traced) for one in winters]


def cords_per_kg(scenario: Scenario, kind: str) -> float | None:
    """Cords in a kilogram of what this heater burns; None where it burns no stacked wood."""
    fuel = default_fuel(kind, scenario_fuel(scenario))
    if fuel.kind != "wood" or fuel.cord_kg is None:
        return None
    return 1.0 / float(fuel.cord_kg)
