"""What a farm with some measures comes to: fuel, nights, cold, money, a winter's mean each."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from greenhouse_sim.plans.cost_lines import WORK, lost, mean, running
from greenhouse_sim.plans.measures import Measure, Unfit, together
from greenhouse_sim.plans.tried import Ledger, Tried, house_key

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Package = frozenset[str]
"""Names of measures."""


class Outcome(NamedTuple):
    """One package of measures. Means over winters; money in dollars."""

    names: tuple[str, ...]
    cords: float
    fuel_kg: float
    fuel_kWh: float
    heat_kWh: float
    """What the setpoint asks for."""
    wakeups: float
    cold_hours: float
    damage_hours: float
    lost: int
    hours: float
    """Own hours at and around the heater."""
    first: float
    """To buy the measures."""
    running: float
    """A year: fuel, electricity, back-up, hours, repairs, lost crops."""
    measures_yearly: float
    """The measures spread over their lives, with their own hours."""
    upkeep: float
    """Of it what does not buy them: own hours, crops given up."""

    @property
    def yearly(self) -> float:
        """Running and measures, dollars a year."""
        return self.running + self.measures_yearly

    @property
    def spent(self) -> float:
        """Dollars a year without buying the measures."""
        return self.running + self.upkeep


class Farm:
    """A farm whose measures are tried, each package run once in each winter."""

    def __init__(self, tried: Tried, fit: Sequence[Measure]) -> None:
        self.tried = tried
        self.fit = {measure.name: measure for measure in fit}
        self._rows: dict[Package, dict[int, Ledger]] = {}
        self._scenarios: dict[Package, Scenario | None] = {}

    @property
    def packages(self) -> int:
        """Packages run so far, the farm as it is among them."""
        return len(self._rows)

    def scenario(self, package: Package) -> Scenario | None:
        """The farm with a package; None where its measures do not go together."""
        if not package:
            return self.tried.base
        if package not in self._scenarios:
            # the last of the table's order goes on top of the others: they are asked for as well
            last = [name for name in self.fit if name in package][-1]
            others = self.scenario(package - {last})
            found = None
            if others is not None:
                with contextlib.suppress(Unfit):
                    found = together(others, (self.fit[last],))
            self._scenarios[package] = found
        return self._scenarios[package]

    def greenhouse(self, package: Package) -> str:
        """What is the same for packages that have the same greenhouse; none, "", where they cannot
        be."""
        scenario = self.scenario(package)
        return "" if scenario is None else house_key(scenario)

    def run(self, packages: Sequence[Package], places: Sequence[int]) -> None:
        """Run the packages in these winters, those known already left out."""
        groups: dict[tuple[int, ...], list[Package]] = {}
        for package in dict.fromkeys(packages):
            have = self._rows.get(package, {})
            missing = tuple(place for place in places if place not in have)
            if missing and self.scenario(package) is not None:
                groups.setdefault(missing, []).append(package)
        for missing, wanted in groups.items():
            scenarios = [one for one in map(self.scenario, wanted) if one is not None]
            for package, rows in zip(wanted, self.tried.run(scenarios, missing), strict=True):
                known = self._rows.setdefault(package, {})
                known |= dict(zip(missing, rows, strict=True))

    def outcome(self, package: Package, places: Sequence[int]) -> Outcome | None:
        """What a package comes to in these winters; None where it cannot be."""
        scenario = self.scenario(package)
        if scenario is None:
            return None
        self.run([package], places)
        rows = [self._rows[package][place] for place in places]
        chosen = [measure for name, measure in self.fit.items() if name in package]
        return outcome_of(scenario, rows, chosen)

    def ledger(self) -> Ledger:
        """A season of the farm as it is."""
        return next(iter(self._rows[frozenset()].values()))

    def known(self, places: Sequence[int]) -> list[Outcome]:
        """Every package that was run in all of these winters."""
        done = [one for one, rows in self._rows.items() if all(place in rows for place in places)]
        found = [self.outcome(package, places) for package in done]
        return [one for one in found if one is not None]


def outcome_of(
    scenario: Scenario, rows: Sequence[Mapping[str, Any]], chosen: Sequence[Measure]
) -> Outcome:
    """From the ledgers of the farm with some measures."""
    lines = running(scenario, scenario.heater.kind, rows)
    return Outcome(
        tuple(measure.name for measure in chosen),
        mean(rows, "cords"),
        mean(rows, "fuel_kg"),
        mean(rows, "fuel_energy_kWh"),
        mean(rows, "heat_need_kWh"),
        mean(rows, "night_wakeups"),
        mean(rows, "hours_below_setpoint"),
        mean(rows, "hours_below_damage"),
        lost(scenario, rows),
        sum(line.quantity for line in lines if line.kind == WORK),
        sum(measure.cost.value for measure in chosen),
        sum(line.amount or 0.0 for line in lines),
        sum(measure.yearly for measure in chosen),
        sum(measure.upkeep for measure in chosen),
    )
