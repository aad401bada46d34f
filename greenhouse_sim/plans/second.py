"""Two heaters in one greenhouse: the first holds the setpoint, the second joins in the deep cold.

The loop knows one heater. So the first runs with what the second gives as an internal gain, the
second with what the first gives, in turn, until both see the same air: then each has run beside
the other. Heat is passed on as hourly means, and the grower tends each heater by its own rules;
how far the two airs still differ is told.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.heater.catalogue import heater_table
from greenhouse_sim.plans.absence_terms import both_scales
from greenhouse_sim.plans.foreseen import HEATER_W, Work, done_all, foreseen, prepared, tasks_of
from greenhouse_sim.plans.heat_given import with_heat
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.hour import COLD_BAND_K
from greenhouse_sim.season.many import Tallied, run_many
from greenhouse_sim.season.run import Winter, expecting, task
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
AIR, CROP = at.TRACE.index("air_C"), at.TRACE.index("crop_C")
MOST_TURNS = 8
NEAR_K = 0.1
"""Root mean square of the difference of the two airs at which they count as the same."""
NEW = 0.5
"""Share of a new turn's heat that is taken over (damps the grower's to and fro)."""


class Side(NamedTuple):
    """One heater; arrays of shape (winters,)."""

    heater: str
    fuel_kg: Array
    heat_J: Array
    wakeups: Array
    loads: Array


class House(NamedTuple):
    """The greenhouse with some heaters; arrays of shape (winters,)."""

    sides: tuple[Side, ...]
    cold_h: Array
    """Hours more than 0.5 K under the crop's setpoint."""
    damage_h: Array
    lowest_C: Array

    @property
    def wakeups(self) -> Array:
        """Times up for any of them: at most the sum, since one walk may serve two fires."""
        return np.sum([side.wakeups for side in self.sides], axis=0)


class Two(NamedTuple):
    """The whole answer."""

    winters: tuple[str, ...]
    below_C: float
    """Air that the second heater holds."""
    first: House
    """The first alone."""
    second: House
    """The second alone, holding the crop's setpoint."""
    both: House
    apart_K: Array
    """Root mean square between the airs that the two heaters saw, shape (winters,)."""
    turns: int


def steps(winters: int) -> int:
    """Steps of the work at most, for a bar."""
    return winters * (4 + 3 * MOST_TURNS)


def two(
    scenario: Scenario,
    weather: Sequence[Weather],
    second: str,
    below_C: float,
    work: Work | None = None,
) -> Two:
    """Run the scenario's heater with a second one beside it.

    Parameters
    ----------
    scenario
        The scenario; its heater is the first.
    weather
        Its winters.
    second
        Name of the catalogue.
    below_C
        Air that the second holds, °C: it has nothing to do while the first does better.
    work
        How work is done and told.

    Raises
    ------
    ScenarioError
        The second does not start under the crop's setpoint.
    """
    if below_C >= scenario.crop.setpoint_day:
        raise ScenarioError(
            f"--below: {both_scales(below_C)} is not under the setpoint "
            f"({both_scales(scenario.crop.setpoint_day)}): the second heater would be the first; "
            'write a lower one, such as "38 degF"'
        )
    name = heater_table(second, "--heater")["name"].value
    how = (work or Work()).settled(len(weather) * 3 * MOST_TURNS)
    winters = foreseen(scenario, prepared(scenario, weather, how), how)
    own = scenario.heater.kind
    other = scenario if name == own else scenario.with_(heater=name)
    alone = done_all(tasks_of(scenario, winters, own, True), how)
    beside = done_all(tasks_of(other, winters, name, True), how)
    ran, far, turns = _settle(scenario, other, winters, below_C, alone, how)
    return Two(
        tuple(one.weather.name for one in winters), below_C,
        _house(scenario, winters, [(own, alone)]), _house(scenario, winters, [(name, beside)]),
        _house(scenario, winters, [(own, ran[0]), (name, ran[1])]), far, turns,
    )  # fmt: skip


def _settle(
    scenario: Scenario, other: Scenario, winters: Sequence[Winter], below_C: float,
    alone: Sequence[Tallied], work: Work,
) -> tuple[tuple[list[Tallied], list[Tallied]], Array, int]:  # fmt: skip
    """Run the two in turn until they see the same air."""
    own, name = scenario.heater.kind, other.heater.kind
    floor = [
        tasks_of(one, winters[:1], one.heater.kind)[0].heater.floor_share
        for one in (scenario, other)
    ]
    first = list(alone)
    gave = [run.trace[:, HEATER_W] for run in first]
    joins = [np.zeros_like(one) for one in gave]
    turn, far = 0, np.full(len(winters), np.inf)
    while True:
        turn += 1
        low = [
            lower(with_heat(winter, heat, floor[0]), below_C)
            for winter, heat in zip(winters, gave, strict=True)
        ]
        asked = _asked(other, low, work)
        second = done_all(tasks_of(other, asked, name, True), work)
        joins = [
            before + (NEW if turn > 1 else 1.0) * (run.trace[:, HEATER_W] - before)
            for before, run in zip(joins, second, strict=True)
        ]
        helped = [with_heat(w, heat, floor[1]) for w, heat in zip(winters, joins, strict=True)]
        first = done_all(tasks_of(scenario, helped, own, True), work)
        far = np.array([_apart(a, b) for a, b in zip(first, second, strict=True)])
        if turn == MOST_TURNS or bool(np.all(far < NEAR_K)):
            return (first, second), far, turn
        gave = [
            before + NEW * (run.trace[:, HEATER_W] - before)
            for before, run in zip(gave, first, strict=True)
        ]


def _asked(scenario: Scenario, winters: Sequence[Winter], work: Work) -> list[Winter]:
    """The winters with what is left for this heater to give, as the grower expects it."""
    ideal = run_many([task(scenario, one, "ideal", True) for one in winters], work.engine)
    habit = scenario.routine.looks_ahead == "habit"
    return [
        expecting(winter, run.trace[:, HEATER_W], habit)
        for winter, run in zip(winters, ideal, strict=True)
    ]


def lower(winter: Winter, below_C: float) -> Winter:
    """The winter with its setpoints no higher than ``below_C``."""
    setpoint = np.minimum(winter.drive.setpoint, below_C)
    return winter._replace(
        drive=winter.drive._replace(setpoint=setpoint),
        walk=winter.walk._replace(hours=winter.walk.hours._replace(setpoint=setpoint)),
    )


def _apart(one: Tallied, other: Tallied) -> float:
    return float(np.sqrt(np.mean((one.trace[:, AIR] - other.trace[:, AIR]) ** 2)))


def _house(
    scenario: Scenario, winters: Sequence[Winter], runs: Sequence[tuple[str, Sequence[Tallied]]]
) -> House:
    """What the greenhouse was like, by the air of the first heater: it holds the setpoint."""
    sides = [_side(name, some) for name, some in runs]
    seen = runs[0][1]
    cold = [
        float(np.sum(run.trace[:, AIR] < winter.drive.setpoint - COLD_BAND_K))
        for winter, run in zip(winters, seen, strict=True)
    ]
    hurt = [float(np.sum(run.trace[:, CROP] < scenario.crop.damage_below)) for run in seen]
    lowest = [float(run.trace[:, AIR].min()) for run in seen]
    return House(tuple(sides), np.array(cold), np.array(hurt), np.array(lowest))


def _side(name: str, runs: Sequence[Tallied]) -> Side:
    total = np.array([run.total for run in runs])
    return Side(
        name, total[:, at.FUEL_KG], total[:, at.HEAT_J], total[:, at.WAKEUPS], total[:, at.LOADS]
    )
