"""Winters made ready once, and heaters run through them one after another.

What `greenhouse_sim.plans.compare.compare` does in one go, in two halves: a page can draw the
farm's own heater while the others still run.
"""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from greenhouse_sim.plans.foreseen import Work, prepared, tasks_of, with_needs
from greenhouse_sim.plans.ledgers import ledger_of
from greenhouse_sim.season.many import Tallied, run_many
from greenhouse_sim.season.run import ROUNDS, Season, Winter
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
        tasks = [
            one for kind in heaters for one in tasks_of(self.scenario, self.winters, kind, traced)
        ]
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
    how = work.settled(len(ready) * (heaters + 1 + ROUNDS))
    winters, needs = with_needs(scenario, ready, how)
    return SameWinters(scenario, winters, needs, how)
