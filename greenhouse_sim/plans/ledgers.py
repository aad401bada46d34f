"""Seasons without their traces: from winters that an ideal heater has held to ledgers.

What `greenhouse_sim.season.run.run_seasons` does in one go, in two halves: the first depends on
the greenhouse and the weather alone, so it need not be done again for another heater, another
wood or another routine.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.catalogue import labour
from greenhouse_sim.routine.calendar import calendar
from greenhouse_sim.routine.numbers import Calendar
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.ledger import Identity, damp_hours, make_ledger
from greenhouse_sim.season.ledger_columns import Ended
from greenhouse_sim.season.many import Tallied, Task
from greenhouse_sim.season.run import Winter, expecting, held_ideally, scenario_fuel, task
from greenhouse_sim.units import KWH_J

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.weather import Weather

HEATER = at.TRACE.index("heater_W")
HABITS = ("margin", "load_for", "gets_up_below", "looks_ahead", "stays_by")
"""Keys of the routine that change no hour of the calendar."""


class Held(NamedTuple):
    """A winter, and the heat that an ideal heater gave in each of its hours."""

    winter: Winter
    needed_W: np.ndarray
    need_kWh: float


def held(
    scenario: Scenario, prepared: Sequence[Winter], engine: str, workers: int | None = None
) -> list[Held]:
    """Every winter with its heat need and its vapour settled."""
    settled, ideal = held_ideally(scenario, prepared, engine, workers)
    # a copy of the one column: the traces need not be kept
    return [
        Held(winter, ran.trace[:, HEATER].copy(), float(ran.total[at.HEAT_J]) / KWH_J)
        for winter, ran in zip(settled, ideal, strict=True)
    ]


def calendars(scenario: Scenario, found: Sequence[Held]) -> list[Calendar]:
    """The grower's hours in each of the winters."""
    return calendars_in(scenario, [one.winter.weather for one in found])


def calendars_in(scenario: Scenario, winters: Sequence[Weather]) -> list[Calendar]:
    """The same before the winters are prepared."""
    cuts = scenario.site.power_cuts
    return [calendar(scenario.routine, cuts, one.start, one.hours) for one in winters]


def calendar_key(scenario: Scenario) -> str:
    """A text that is the same for routines with the same hours."""
    return scenario.routine.model_dump_json(exclude=set(HABITS))


def tended(scenario: Scenario, found: Sequence[Held], days: Sequence[Calendar]) -> list[Winter]:
    """The winters with this scenario's routine: its calendars, and what its grower expects."""
    habit = scenario.routine.looks_ahead == "habit"
    return [
        expecting(one.winter._replace(calendar=day), one.needed_W, habit)
        for one, day in zip(found, days, strict=True)
    ]


def tasks_of(scenario: Scenario, kind: str, winters: Sequence[Winter]) -> list[Task]:
    """One heater in every winter of a greenhouse; its numbers are worked out once."""
    first = task(scenario, winters[0], kind, False)
    if first.walk is not winters[0].walk:
        return [first, *(task(scenario, winter, kind, False) for winter in winters[1:])]
    return [first._replace(walk=winter.walk, calendar=winter.calendar) for winter in winters]


def ended(who: Identity, houses: Sequence[Held], done: Iterator[Tallied]) -> list[Ended]:
    """The seasons of one heater in every winter of a greenhouse, for their ledgers.

    Parameters
    ----------
    who
        The farm's and the heater's `identity`.
    houses
        The greenhouse's winters.
    done
        What ran, in the order of `tasks_of`; as many are taken as there are winters.
    """
    return [
        Ended(
            _in_winter(who, house.winter),
            house.winter.weather,
            next(done).total,
            house.need_kWh,
            damp_hours(house.winter.damp),
        )
        for house in houses
    ]


def ledger_of(
    scenario: Scenario, kind: str, winter: Winter, ran: Tallied, need_kWh: float
) -> dict[str, Any]:
    """The ledger of a season that has been run."""
    who = _in_winter(identity(scenario, kind), winter)
    return make_ledger(who, winter.weather, ran.total, ran.month_kg, need_kWh, winter.damp)


def _in_winter(who: Identity, winter: Winter) -> Identity:
    return who._replace(winter=winter.weather.name, site=winter.weather.site or who.site)


def identity(scenario: Scenario, kind: str) -> Identity:
    """Whose ledger it is, but for the winter's name and place."""
    count = scenario.heater.count
    fuel = default_fuel(kind, scenario_fuel(scenario))
    return Identity(kind, count, "", scenario.site.name, fuel, _building_min(kind) / 60.0 * count)


@functools.lru_cache
def _building_min(kind: str) -> float:
    """Minutes of building a heater once a season; every season asks."""
    return labour(kind).build_min
