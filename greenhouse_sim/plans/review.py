"""The winter reviewed: plan against journal by month, and what the difference is due to.

The plan is the scenario over its past winters: of each month and of each sum the middle one.
The winter is then run again with its weather, its wood, the house and the grower's habit as they
were, in every combination (`review_causes`), in the season's own engine. What the season with all
of them as they were still misses is the rest, and is told as such.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.errors import JournalError
from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.fuel import Fuel
from greenhouse_sim.plans.foreseen import Work
from greenhouse_sim.plans.journal_review import PILED
from greenhouse_sim.plans.quantiles import quantile
from greenhouse_sim.plans.review_causes import Bridge, Subset, bridge, subsets
from greenhouse_sim.plans.review_habit import Habit, habit_as_it_was
from greenhouse_sim.plans.review_journal import (
    Noted,
    Span,
    check_heater,
    hour_of,
    noted,
    span_of,
    unnoted,
)
from greenhouse_sim.plans.review_runs import (
    AIR,
    HABIT,
    HEAT,
    HOUSE,
    QUANTITIES,
    WEATHER,
    WOOD,
    Again,
    Months,
    Ran,
)
from greenhouse_sim.plans.review_was import (
    House,
    Wood,
    house_as_it_was,
    this_winter,
    wood_as_it_was,
)
from greenhouse_sim.plans.woodpile import unlimited
from greenhouse_sim.season.run import scenario_fuel
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.journal.entry import Entry
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
SILENT_DAYS = 4
"""Days without an entry from which a stretch is looked at (judgement)."""
NEAR_SETPOINT_K = 3.0
"""A reading tells of the fire where the simulated air is no further over the setpoint."""
LEAST_READINGS = 10
"""Readings under which their mean says nothing (judgement)."""


class Asked(NamedTuple):
    """What the grower says of the winter; None where nothing is said."""

    where: str
    """Name of the journal, for messages."""
    winter: str | None = None
    weather: Weather | None = None
    """The record of this winter."""
    species: str | None = None
    moisture: float | None = None
    fitted: Scenario | None = None
    told_by: str | None = None
    """How amounts were noted: see `review_journal.noted`."""


class Silence(NamedTuple):
    """Days without an entry on which the season as it was loads fuel."""

    span: Span
    fuel: float
    """That the season loads in them, as `Months.fuel`."""


class Readings(NamedTuple):
    """Thermometer readings beside the season as it was, where the fire sets the air."""

    number: int
    warmer_K: float
    """Median of read less simulated."""


class Band(NamedTuple):
    """A sum over the plan's winters: middle, 10th and 90th percentile."""

    middle: float
    low: float
    high: float


class Review(NamedTuple):
    """The whole answer."""

    scenario: Scenario
    """As it was read."""
    noted: Noted
    fuel: Fuel
    """As planned."""
    wood: Wood
    house: House
    habit: Habit
    causes: tuple[str, ...]
    """Causes that are known and may differ from the plan."""
    known: tuple[str, ...]
    """Causes of which it is known how they were, even where that is as planned."""
    weather: Weather | None
    """This winter's."""
    in_record: bool
    """Whether this winter stands in the plan's weather."""
    outdoor_C: tuple[float, float] | None
    """Mean outdoors: middle of the plan's winters, this winter."""
    winters: int
    """Past winters of the plan."""
    plan: Months
    """Middle winter of each month; the coldest air is the middle winter's."""
    plan_totals: Mapping[str, Band]
    was: Months
    """The season as it was: one winter, or the middle of the past ones."""
    bridges: Mapping[str, Bridge]
    """Quantity to its way from plan to journal."""
    next_plan: Mapping[str, Band]
    """The plan with the wood, the house and the habit as they were."""
    silences: tuple[Silence, ...]
    readings: Readings | None
    """None without this winter's weather, or with too few."""


def reviewed_span(scenario: Scenario, entries: Sequence[Entry], asked: Asked) -> Span:
    """The winter that will be reviewed.

    Raises
    ------
    JournalError
        No load is noted in it, or the heater is one that nobody loads.
    """
    fuel = default_fuel(scenario.heater.kind, scenario_fuel(scenario))
    if fuel.kind not in PILED:
        raise JournalError(
            f"[heater] kind: {scenario.heater.kind} burns {fuel.name}, which nobody loads from a "
            "pile, so loads cannot be held against a plan; name the heater that was loaded"
        )
    return span_of(scenario, entries, asked.winter, asked.where)


def review(
    scenario: Scenario,
    entries: Sequence[Entry],
    past: Sequence[Weather],
    asked: Asked,
    work: Work | None = None,
) -> Review:
    """Review a winter.

    Parameters
    ----------
    scenario
        The farm, as it was planned.
    entries
        The whole journal.
    past
        The plan's winters.
    asked
        What is known of this winter.
    work
        How it is done and told.

    Raises
    ------
    JournalError, ScenarioError, WeatherError
        Something does not fit together; the message says what.
    """
    span = reviewed_span(scenario, entries, asked)
    others, this = this_winter(scenario, past, asked.weather, span)
    in_record = this is not None and any(np.array_equal(one.t_out_C, this.t_out_C) for one in past)
    house = house_as_it_was(unlimited(scenario), asked.fitted)
    own = [one for one in entries if span.first <= one.at.date() <= span.last]
    wood = wood_as_it_was(house.plan, own, asked.species, asked.moisture)
    planned = default_fuel(house.plan.heater.kind, scenario_fuel(house.plan))
    check_heater(house.plan, own, max(planned, wood.fuel, key=_weight), asked.where)
    book = noted(house.plan, entries, span, (planned, wood.fuel), asked.told_by)
    changes = {WOOD: wood.changes, HOUSE: house.changes}
    again = Again(house.plan, changes, others, this, work or Work())
    habit = habit_as_it_was(again, own, book.months)
    again.changes[HABIT] = habit.changes
    told = {
        WEATHER: this is not None, WOOD: wood.source is not None, HOUSE: house.source is not None,
        HABIT: True,
    }  # fmt: skip
    runs = _Runs(again)
    plan, was = runs.of(frozenset()), runs.of(frozenset(again.causes))
    bridges = {
        name: bridge(again.causes, runs.values(name), book.months.total(name))
        for name in QUANTITIES
    }
    lasting = runs.of(frozenset(again.causes) - {WEATHER})
    last = was[0] if this is not None else _middle(was)
    return Review(
        scenario,
        book,
        planned,
        wood,
        house,
        habit,
        again.causes,
        tuple(cause for cause, known in told.items() if known),
        this,
        in_record,
        _outdoors(others, this),
        len(others),
        _median(plan),
        _totals(plan),
        _median(was),
        bridges,
        _totals(lasting),
        _silences(book, last),
        _readings(again, book, last) if this is not None else None,
    )


def _outdoors(past: Sequence[Weather], this: Weather | None) -> tuple[float, float] | None:
    if this is None:
        return None
    means = [float(one.t_out_C.mean()) for one in past]
    return quantile(means, 0.5), float(this.t_out_C.mean())


def _weight(fuel: Fuel) -> float:
    return fuel.stacked_kg_m3 or 0.0


class _Runs:
    """Every combination of causes, run once."""

    def __init__(self, again: Again) -> None:
        self.again = again
        self._done: dict[Subset, list[Ran]] = {}

    def of(self, causes: Subset) -> list[Ran]:
        """The seasons with these causes as they were; traces are kept of one winter alone."""
        if causes not in self._done:
            ran = self.again.run(causes)
            if len(ran) > 1:
                ran = [one._replace(trace=one.trace[:0]) for one in ran]
            self._done[causes] = ran
        return self._done[causes]

    def values(self, quantity: str) -> dict[Subset, float]:
        """The middle winter's sum of a quantity with each set of causes."""
        return {
            some: quantile([one.months.total(quantity) for one in self.of(some)], 0.5)
            for some in subsets(self.again.causes)
        }


def _middle(ran: Sequence[Ran]) -> Ran:
    """The winter whose fuel is nearest to the median."""
    totals = np.array([one.months.total("fuel") for one in ran])
    return ran[int(np.argmin(np.abs(totals - np.median(totals))))]


def _median(ran: Sequence[Ran]) -> Months:
    """Each month's middle winter."""
    columns = zip(*(one.months for one in ran), strict=True)
    return Months(*(np.median(np.stack(rows), axis=0) for rows in columns))


def _totals(ran: Sequence[Ran]) -> dict[str, Band]:
    found = {}
    for name in QUANTITIES:
        values = [one.months.total(name) for one in ran]
        low, middle, high = (quantile(values, share) for share in (0.1, 0.5, 0.9))
        found[name] = Band(middle, low, high)
    return found


def _silences(book: Noted, was: Ran) -> tuple[Silence, ...]:
    """Stretches without an entry on which the season as it was loads on most days."""
    found = []
    for stretch in unnoted(book.span, book.entries, SILENT_DAYS):
        first = (stretch.first - book.span.first).days
        fuel = was.daily_fuel[first : first + stretch.days]
        if np.sum(fuel > 0.0) * 2 >= stretch.days:
            found.append(Silence(stretch, float(fuel.sum())))
    return tuple(found)


def _readings(again: Again, book: Noted, was: Ran) -> Readings | None:
    """Readings less simulated air, at hours with fire and no sun to speak of."""
    setpoint = again.setpoint
    air, heat = was.trace[:, AIR], was.trace[:, HEAT]
    gaps = []
    for one in book.entries:
        if one.indoor_C is None or one.woken:
            continue
        hour = hour_of(book.span, one.at)
        if (
            0 <= hour < len(air)
            and heat[hour] > 0.0
            and air[hour] < setpoint[hour] + NEAR_SETPOINT_K
        ):
            gaps.append(one.indoor_C - air[hour])
    if len(gaps) < LEAST_READINGS:
        return None
    return Readings(len(gaps), float(np.median(gaps)))
