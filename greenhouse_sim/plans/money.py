"""Heaters by what they cost: a year, at the start, against a baseline, over the years."""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.plans.compare import Comparison
from greenhouse_sim.plans.cost_lines import BOUGHT, CROP, WORK, Line, cost_lines, lost, mean
from greenhouse_sim.plans.invest import discounted_payback, flows, payback, present_value
from greenhouse_sim.plans.prices import counted
from greenhouse_sim.season.run import Season

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario


@dataclass(frozen=True, eq=False)
class Cost:
    """What one heater costs. Money in dollars, below zero nowhere."""

    heater: str
    lines: tuple[Line, ...]
    lost: int
    """Winters in which the crop froze."""
    winters: int
    wakeups: float
    """Night wake-ups a winter, mean."""
    cold_hours: float
    """Hours below setpoint a winter, mean."""

    @property
    def unknown(self) -> tuple[str, ...]:
        """What has no price."""
        return tuple(line.item for line in self.lines if line.amount is None)

    @property
    def first(self) -> float:
        """To buy and to build."""
        return sum(line.first for line in self.lines)

    def of(self, kind: str) -> float:
        """Dollars a year of one kind of line."""
        return sum(line.amount or 0.0 for line in self.lines if line.kind == kind)

    @functools.cached_property
    def yearly(self) -> float | None:
        """Dollars a year, purchases spread over their lives with interest; None if unknown."""
        return None if self.unknown else sum(line.amount or 0.0 for line in self.lines)

    @property
    def running(self) -> float:
        """Dollars a year without the purchases."""
        return sum(line.amount or 0.0 for line in self.lines if line.kind != BOUGHT)

    @property
    def range(self) -> tuple[float, float] | None:
        """Likely range of `yearly`: the prices' ranges as independent errors, root of squares."""
        if self.yearly is None:
            return None
        below = math.hypot(*((line.amount or 0.0) - (line.low or 0.0) for line in self.lines))
        above = math.hypot(*((line.high or 0.0) - (line.amount or 0.0) for line in self.lines))
        return max(self.yearly - below, 0.0), self.yearly + above

    @property
    def hours(self) -> float:
        """Own hours a year."""
        return sum(line.quantity for line in self.lines if line.kind == WORK)

    @property
    def purchases(self) -> list[tuple[float, float]]:
        """(price, life) of what is bought."""
        return [(line.first, line.life or 1.0) for line in self.lines if line.kind == BOUGHT]

    @property
    def crop(self) -> float:
        """Dollars a year of crops lost."""
        return self.of(CROP)


@dataclass(frozen=True)
class Against:
    """A heater held against the baseline. Money in dollars; above zero is to its favour."""

    heater: str
    extra: float
    """More to buy than for the baseline."""
    saving: float
    """Less to spend in a year, purchases left out."""
    payback: float | None
    discounted: float | None
    net: float
    """Net present value over the years that are looked at."""


@dataclass(frozen=True, eq=False)
class Money:
    """The whole answer."""

    costs: tuple[Cost, ...]
    baseline: str
    interest: float
    years: int
    most_cold: float
    """Hours below setpoint a winter up to which a heater does its work."""
    against: tuple[Against, ...]

    def cost(self, heater: str) -> Cost:
        """One heater's."""
        return next(one for one in self.costs if one.heater == heater)

    @functools.cached_property
    def doing(self) -> tuple[Cost, ...]:
        """Heaters that do their work: the crop lost in the fewest winters, few hours too cold.

        Where every one of those is too cold for longer than `most_cold`, the warmest of them.
        """
        fewest = min(one.lost for one in self.costs)
        safe = [one for one in self.costs if one.lost == fewest]
        most = max(self.most_cold, min(one.cold_hours for one in safe))
        return tuple(one for one in safe if one.cold_hours <= most)

    @property
    def fit(self) -> tuple[Cost, ...]:
        """Heaters of known cost that do their work, cheapest first."""
        fit = [one for one in self.doing if one.yearly is not None]
        return tuple(sorted(fit, key=lambda one: one.yearly or 0.0))


def cost_of(scenario: Scenario, heater: str, seasons: Sequence[Season]) -> Cost:
    """What a heater costs, from the winters that it was run through."""
    rows = [season.ledger for season in seasons]
    return Cost(
        heater,
        cost_lines(scenario, heater, seasons),
        lost(scenario, rows),
        len(rows),
        mean(rows, "night_wakeups"),
        mean(rows, "hours_below_setpoint"),
    )


def check_baseline(scenario: Scenario, heaters: Sequence[str]) -> str:
    """The baseline's name.

    Raises
    ------
    ScenarioError
        It is not among the heaters.
    """
    named = scenario.money.baseline
    if named is None:
        return scenario.heater.kind if scenario.heater.kind in heaters else heaters[0]
    if named not in heaters:
        raise ScenarioError(
            f'{scenario.path or "scenario"}: [money] baseline: "{named}" is not among the heaters '
            f'compared; add --heater "{named}", or write one of: '
            + ", ".join(f'"{name}"' for name in heaters)
        )
    return named


def money(scenario: Scenario, result: Comparison) -> Money:
    """Heaters by what they cost, each against the baseline."""
    base_name = check_baseline(scenario, result.heaters)
    costs = tuple(cost_of(scenario, name, result.of(name)) for name in result.heaters)
    rate, years = counted(scenario, "interest"), int(counted(scenario, "years"))
    base = next(one for one in costs if one.heater == base_name)
    against = tuple(
        held_against(one, base, rate, years)
        for one in costs
        if one is not base and one.yearly is not None and base.yearly is not None
    )
    return Money(costs, base_name, rate, years, counted(scenario, "cold_hours"), against)


def held_against(one: Cost, base: Cost, rate: float, years: int) -> Against:
    """One heater against another."""
    extra, saving = one.first - base.first, base.running - one.running
    worth = [
        present_value(rate, flows(cost.purchases, cost.running, years)) for cost in (one, base)
    ]
    return Against(
        one.heater, extra, saving, payback(extra, saving), discounted_payback(extra, saving, rate),
        worth[0] - worth[1],
    )  # fmt: skip
