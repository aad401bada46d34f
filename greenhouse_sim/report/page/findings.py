"""Everything that the page tells, asked of the plans at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.catalogue import heater_table
from greenhouse_sim.plans.absence import Absence, absence
from greenhouse_sim.plans.absence_terms import check_heater, terms
from greenhouse_sim.plans.compare import Comparison, compare
from greenhouse_sim.plans.foreseen import Work, tasks_of
from greenhouse_sim.plans.money import Money, check_baseline, money
from greenhouse_sim.plans.nights import Nights, nights
from greenhouse_sim.plans.same_winters import SameWinters, same_winters
from greenhouse_sim.plans.stack import rack
from greenhouse_sim.plans.switch import (
    Switch,
    WinterBest,
    price_switches,
    purchase_switch,
    run_switches,
    winters_best,
)
from greenhouse_sim.plans.woodpile import Woodpile, check_fuel, unlimited, woodpile
from greenhouse_sim.report.charts.loading import fetch
from greenhouse_sim.report.words import Units
from greenhouse_sim.season.run import Season, scenario_fuel

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.weather import Weather


@dataclass(frozen=True, eq=False)
class Costs:
    """What the heaters cost, and what would change the decision."""

    money: Money
    switches: tuple[Switch, ...]
    winters: tuple[WinterBest, ...]


@dataclass(frozen=True, eq=False)
class Findings:
    """The whole answer; some of it is still being worked out and waited for when it is asked for.

    What does not fit the scenario's heater is None.
    """

    scenario: Scenario
    units: Units
    weather: tuple[Weather, ...]
    own: tuple[Season, ...]
    """The scenario's own heater in every winter, hour by hour."""
    _comparison: Future[Comparison]
    _nights: Future[Nights]
    _costs: Future[Costs]
    _absence: Future[Absence | None]
    _woodpile: Future[Woodpile | None]

    @property
    def heater(self) -> str:
        """The scenario's own."""
        return self.scenario.heater.kind

    @property
    def comparison(self) -> Comparison:
        """The heaters side by side."""
        return self._comparison.result()

    @property
    def nights(self) -> Nights:
        """What getting up is worth."""
        return self._nights.result()

    @property
    def costs(self) -> Costs:
        """What the heaters cost."""
        return self._costs.result()

    @property
    def absence(self) -> Absence | None:
        """What comes of nobody being there."""
        return self._absence.result()

    @property
    def woodpile(self) -> Woodpile | None:
        """What to have ready."""
        return self._woodpile.result()


@contextmanager
def findings(
    scenario: Scenario,
    heaters: Sequence[str],
    weather: Sequence[Weather],
    records: Sequence[Weather],
    units: Units,
    work: Work,
) -> Iterator[Findings]:
    """Ask every plan; pictures can be drawn while the loops of the others run.

    Parameters
    ----------
    scenario
        The farm.
    heaters
        Names of the catalogue, the scenario's own among them.
    weather, records
        The winters, and the whole weather files that they are cut from.
    units
        The reader's.
    work
        How work is done and told.

    Raises
    ------
    ScenarioError, WeatherError
        Something cannot be used; the message says what and what to write instead. It may come as
        late as an answer is asked for.
    """
    kind = scenario.heater.kind
    names = list(dict.fromkeys(heater_table(name)["name"].value for name in heaters))
    check_baseline(scenario, names)
    # one after another, each on all cores: the sooner the first is there, the sooner it is drawn
    with ThreadPoolExecutor(1) as pool:
        pool.submit(fetch)
        same = same_winters(scenario, weather, len(names), work)
        own = same.seasons([kind], traced=True)
        result = pool.submit(_comparison, same, names, own)
        asked = pool.submit(nights, scenario, weather, records, [kind], work, same.winters)
        costs = pool.submit(_costs, scenario, result)
        pile = pool.submit(_woodpile, scenario, weather, records, own, work)
        alone = pool.submit(_absence, scenario, own, work)
        yield Findings(scenario, units, tuple(weather), own, result, asked, costs, alone, pile)


def _comparison(same: SameWinters, heaters: Sequence[str], own: Sequence[Season]) -> Comparison:
    """The heaters in their order, the farm's own as it was run already."""
    kind = own[0].heater
    others = [name for name in heaters if name != kind]
    run = same.seasons(others)
    many = len(own)
    by_heater = {name: run[n * many : (n + 1) * many] for n, name in enumerate(others)}
    by_heater[kind] = tuple(own)
    return Comparison(tuple(season for name in heaters for season in by_heater[name]))


def _costs(scenario: Scenario, ran: Future[Comparison]) -> Costs:
    result = ran.result()
    found = money(scenario, result)
    bought = purchase_switch(found)
    switches = [
        *price_switches(found),
        *([bought] if bought else []),
        *run_switches(scenario, found, result.seasons),
    ]
    return Costs(found, tuple(switches), tuple(winters_best(scenario, found, result.seasons)))


def _absence(scenario: Scenario, own: Sequence[Season], work: Work) -> Absence | None:
    try:
        check_heater(scenario)
    except ScenarioError:
        return None
    winters = tuple(season.prepared for season in own)
    tasks = tasks_of(scenario, winters, scenario.heater.kind)
    return absence(scenario, winters, tasks, terms(scenario), tell=work.tell)


def _woodpile(
    scenario: Scenario,
    weather: Sequence[Weather],
    records: Sequence[Weather],
    own: Sequence[Season],
    work: Work,
) -> Woodpile | None:
    """None for a heater that nobody lays in for."""
    try:
        check_fuel(scenario)
    except ScenarioError:
        return None
    endless = unlimited(scenario)
    seasons = own
    if scenario.fuel.pile is not None:
        seasons = compare(
            endless, [scenario.heater.kind], weather, traced=True, tell=work.tell
        ).seasons
    fuel = default_fuel(scenario.heater.kind, scenario_fuel(scenario))
    bought = scenario.fuel.source == "buy" and fuel.kind == "wood"
    return woodpile(endless, seasons, records, rack(None, None), own_kg=0.0 if bought else None)
