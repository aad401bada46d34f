"""Winters made ready once, and heaters run through them one after another.

What `greenhouse_sim.plans.compare.compare` does in one go, in two halves: a page can draw the
farm's own heater while the others still run.
"""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from greenhouse_sim.plans.foreseen import HEATER_W, Work, prepared
from greenhouse_sim.plans.ledgers import ledger_of
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import Tallied, engine_name, run_many
from greenhouse_sim.season.run import ROUNDS, Season, Winter, expecting, held_ideally, task
from greenhouse_sim.units import KWH_J
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario


class SameWinters(NamedTuple):
    """A farm's winters, ready for any heater."""

    scenario: Scenario
    winters: tuple[Winter, ...]
    """As the grower expects them."""
    needs_kWh: tuple[float, ...]
    """What the setpoint asks for."""
    work: Work
    """How work is done and told, its engine settled."""

    def seasons(self, heaters: Sequence[str], traced: bool = False) -> tuple[Season, ...]:
        """Heaters through all winters: heater by heater, winters in order.

        Parameters
        ----------
        heaters
            Names of the catalogue, as it has them.
        traced
            Keep the hourly traces.
        """
        how = self.work
        places = range(len(self.winters))
        order = [(kind, place) for kind in heaters for place in places]
        tasks = [task(self.scenario, self.winters[place], kind, traced) for kind, place in order]
        done = run_many(tasks, how.engine, None, how.tell, how.advance)
        return tuple(
            self._season(kind, place, ran) for (kind, place), ran in zip(order, done, strict=True)
        )

    def _season(self, kind: str, place: int, ran: Tallied) -> Season:
        winter = self.winters[place]
        ledger = ledger_of(self.scenario, kind, winter, ran, self.needs_kWh[place])
        return Season(MappingProxyType(ledger), winter, ran.trace)


def same_winters(
    scenario: Scenario, weather: Sequence[Weather], heaters: int, work: Work
) -> SameWinters:
    """Make winters ready for so many heaters.

    Parameters
    ----------
    scenario
        The farm.
    weather
        Its winters.
    heaters
        How many will be run in them: that settles which engine is sooner done.
    work
        How work is done and told; it counts each winter twice here.

    Raises
    ------
    ScenarioError
        There is no winter.
    """
    ready = prepared(scenario, weather, work)
    how = work._replace(engine=engine_name(work.engine, len(ready) * (heaters + 1 + ROUNDS)))
    settled, ideal = held_ideally(scenario, ready, how.engine, None, how.tell)
    if how.advance is not None:
        how.advance(len(settled))
    habit = scenario.routine.looks_ahead == "habit"
    return SameWinters(
        scenario,
        tuple(
            expecting(winter, ran.trace[:, HEATER_W], habit)
            for winter, ran in zip(settled, ideal, strict=True)
        ),
        tuple(float(ran.total[at.HEAT_J]) / KWH_J for ran in ideal),
        how,
    )
