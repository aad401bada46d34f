"""Improvements alone, in the best order, and what they leave.

The order is greedy: at each step the measure that lowers the yearly cost most, given those before
it. A measure saves less after another, so one whose saving of an earlier step is already below
another's present one is not run again (lazy evaluation; the order is the greedy one wherever
savings do shrink). A greedy order need not hold the best package: `plans.package` looks for that.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from greenhouse_sim.plans.measures import LeftOut, Measure, measures
from greenhouse_sim.plans.outcome import Farm, Outcome, Package
from greenhouse_sim.plans.tried import Advance, Tried
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

FEW = 3
"""Winters in which orders and packages are tried."""
NOTHING: Package = frozenset()
WORTH_A_WORD = 1.0
"""Dollars a year under which a measure is not taken into the order."""


class Step(NamedTuple):
    """One measure in the order, on top of those before it."""

    name: str
    outcome: Outcome
    saving: float
    """Dollars a year less of yearly cost, the measure's own cost counted."""


class Improved(NamedTuple):
    """The whole answer, but for a search."""

    farm: Farm
    fit: tuple[Measure, ...]
    left_out: tuple[LeftOut, ...]
    winters: tuple[str, ...]
    places: tuple[int, ...]
    """Places of the winters that order and search were tried in."""
    base: Outcome
    """In all winters."""
    alone: tuple[Outcome, ...]
    """In all winters, in the order of `fit`."""
    base_few: Outcome
    """In the few."""
    order: tuple[Step, ...]


def few_places(needs: Sequence[float]) -> tuple[int, ...]:
    """Places of the mildest, the middle and the hardest of more than `FEW` winters, by heat need.

    Their mean lies near the mean of all; how near is told with the answer.
    """
    order = sorted(range(len(needs)), key=lambda place: needs[place])
    if len(order) <= FEW:
        return tuple(range(len(needs)))
    tenth = round(0.1 * (len(order) - 1))
    return tuple(sorted({order[tenth], order[len(order) // 2], order[-1 - tenth]}))


def improve(
    scenario: Scenario,
    weather: Sequence[Weather],
    *,
    engine: str = "auto",
    advance: Advance | None = None,
) -> Improved:
    """Every measure that fits alone in all winters; in the best order in a few.

    Parameters
    ----------
    scenario
        The farm.
    weather
        Its winters.
    engine
        As in `greenhouse_sim.season.many.run_many`.
    advance
        Called with a count of seasons run.
    """
    fit, left_out = measures(scenario)
    tried = Tried(scenario, weather, engine, advance)
    farm = Farm(tried, fit)
    everywhere = range(len(weather))
    singles = [frozenset({measure.name}) for measure in fit]
    farm.run([NOTHING], everywhere)
    base = _known(farm, NOTHING, everywhere)
    places = few_places([float(tried.need_kWh(place)) for place in everywhere])
    tried.again = frozenset(places)
    farm.run(singles, everywhere)
    return Improved(
        farm,
        fit,
        left_out,
        tuple(one.name for one in weather),
        places,
        base,
        tuple(_known(farm, one, everywhere) for one in singles),
        _known(farm, NOTHING, places),
        _greedy(farm, places),
    )


def _known(farm: Farm, package: Package, places: Sequence[int]) -> Outcome:
    found = farm.outcome(package, places)
    assert found is not None, package
    return found


def _greedy(farm: Farm, places: Sequence[int]) -> tuple[Step, ...]:
    chosen: Package = NOTHING
    now = _known(farm, chosen, places)
    saving = {
        name: now.yearly - _known(farm, frozenset({name}), places).yearly for name in farm.fit
    }
    fresh = set(saving)
    steps: list[Step] = []
    while saving:
        name = max(saving, key=lambda one: saving[one])
        if saving[name] < WORTH_A_WORD:
            break
        if name not in fresh:
            found = farm.outcome(chosen | {name}, places)
            if found is None:
                del saving[name]
                continue
            saving[name] = now.yearly - found.yearly
            fresh.add(name)
            continue
        gain = saving.pop(name)
        chosen = chosen | {name}
        now = _known(farm, chosen, places)
        steps.append(Step(name, now, gain))
        group = farm.fit[name].group
        for other in [one for one in saving if group and farm.fit[one].group == group]:
            del saving[other]
        fresh = set()
    return tuple(steps)


def front(outcomes: Sequence[Outcome]) -> list[Outcome]:
    """Packages that no other beats both in yearly cost and in wake-ups, cheapest first."""
    best: list[Outcome] = []
    for one in sorted(outcomes, key=lambda out: (out.yearly, out.wakeups, len(out.names))):
        if not best or one.wakeups < best[-1].wakeups - 1e-9:
            best.append(one)
    return best
