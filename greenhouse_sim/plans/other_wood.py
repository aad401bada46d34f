"""Other woods and moistures: the heater run again in a few winters.

Another wood changes more than the heat in a cord: the firebox holds another weight, the
grower loads at other hours, and water takes from the efficiency. So the heater runs again,
in the mildest, the middle and the hardest winter; what all winters need is scaled by the
ratio of those: within 1 % of running them all (four heaters, thirty invented winters).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import run_many
from greenhouse_sim.season.run import Season, scenario_fuel, task

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario


class Wood(NamedTuple):
    """A wood at a moisture (wet basis)."""

    species: str
    moisture: float


class Again(NamedTuple):
    """What woods take and give in a few winters; arrays of shape (woods, winters)."""

    volume_m3: np.ndarray
    """Stacked volume loaded."""
    heat_J: np.ndarray
    """Into the greenhouse by the heater."""


class Ratio(NamedTuple):
    """A wood over the scenario's own."""

    volume: float
    """Stacked volume that the same winters take, as the heater then runs."""
    heat: float
    """Heat that it gives in them: below 1 the house is colder."""

    @property
    def same_heat(self) -> float:
        """Stacked volume for the same heat."""
        return self.volume / self.heat if self.heat > 0.0 else 1.0


def few(seasons: Sequence[Season]) -> list[Season]:
    """Of more than three winters the mildest, the middle and the hardest."""
    order = sorted(seasons, key=lambda season: float(season.ledger["heat_need_kWh"]))
    return order if len(order) <= 3 else [order[0], order[len(order) // 2], order[-1]]


def run_again(
    scenario: Scenario, seasons: Sequence[Season], woods: Sequence[Wood], engine: str = "auto"
) -> Again:
    """What each wood takes and gives in each of these winters.

    Parameters
    ----------
    scenario
        The farm; its heater burns wood.
    seasons
        Winters that were run already: their drives say what the grower expects.
    woods
        What to burn instead.
    engine
        As in `greenhouse_sim.season.many.run_many`.
    """
    kind = seasons[0].heater
    winters = [one.prepared for one in seasons]
    farms = [_burning(scenario, wood) for wood in woods]
    plain = [task(farm, winters[0], kind, False) for farm in farms]
    tasks = [
        one._replace(walk=winter.walk, calendar=winter.calendar)
        for one in plain
        for winter in winters
    ]
    done = run_many(tasks, engine)
    heavy = [default_fuel(kind, scenario_fuel(farm)).stacked_kg_m3 for farm in farms]
    dense = np.array([float(one or np.nan) for one in heavy])
    shape = (len(woods), len(seasons))
    loaded, heat = (
        np.array([float(one.total[place]) for one in done]).reshape(shape)
        for place in (at.LOADED_KG, at.HEAT_J)
    )
    return Again(loaded / dense[:, None], heat)


def _burning(scenario: Scenario, wood: Wood) -> Scenario:
    """The farm with another wood, a row of the table: no need to check it like a file."""
    fuel = scenario.fuel.model_copy(update={"species": wood.species, "moisture": wood.moisture})
    return scenario.model_copy(update={"fuel": fuel})


def ratios(
    scenario: Scenario,
    seasons: Sequence[Season],
    woods: Sequence[Wood],
    own: Wood,
    engine: str = "auto",
) -> list[Ratio]:
    """Each wood over the scenario's own, in the few winters."""
    found = run_again(scenario, few(seasons), [own, *woods], engine)
    volume, heat = found.volume_m3.sum(axis=1), found.heat_J.sum(axis=1)
    if volume[0] <= 0.0 or heat[0] <= 0.0:
        return [Ratio(1.0, 1.0) for _ in woods]
    return [
        Ratio(float(more / volume[0]), float(given / heat[0]))
        for more, given in zip(volume[1:], heat[1:], strict=True)
    ]
