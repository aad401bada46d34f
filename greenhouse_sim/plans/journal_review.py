"""The journal against the plan: fuel used, how long the pile lasts, work and nights up so far."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.catalogue import labour
from greenhouse_sim.heater.cord import mass_of_stack
from greenhouse_sim.heater.fuel import Fuel
from greenhouse_sim.journal.entry import CARRIED, CUT, LOAD, READING, VISIT, Entry
from greenhouse_sim.journal.stand import Left, between, left_of, nights_up, used_kg
from greenhouse_sim.plans.labour import rates
from greenhouse_sim.plans.pile import Lasts, Use, by_day, lasts, use
from greenhouse_sim.plans.quantiles import quantile
from greenhouse_sim.season.run import Season, scenario_fuel
from greenhouse_sim.season.visit import LOOK_S
from greenhouse_sim.units import SHORT_TON_KG

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

PILED = ("wood", "pellets")
"""Kinds of fuel that are drawn from a pile."""
ENOUGH_TO_TELL = 0.1
"""Share of a winter's fuel after which the pace so far says something (judgement)."""


class Band(NamedTuple):
    """A quantity over the winters: middle, 10th and 90th percentile."""

    middle: float
    low: float
    high: float


class SoFar(NamedTuple):
    """The winter so far."""

    first: date
    """The season's first day."""
    on: date
    """The evening of which day it is told."""
    fuel: Fuel
    entries: tuple[Entry, ...]
    """Of this season up to that day."""
    loads: int
    visits: int
    cut_h: float
    """Without power, h."""
    used_kg: float
    left: Left | None
    hours: dict[str, float]
    """Task to hours of work."""
    noted_share: float
    """Share of those hours that was noted and not reckoned."""
    nights_up: int
    coldest: Entry | None
    """The reading with the coldest indoor air."""
    plan: Plan | None
    """None for a fuel without a pile."""


class Plan(NamedTuple):
    """What the winters of the weather files would have taken by this day, and from it on."""

    winters: int
    used_kg: Band
    nights_up: Band
    season_kg: Band
    pace: float | None
    """Fuel used over the middle winter's; None while too little is burnt to say."""
    ends: Lasts | None
    """How far the pile reaches if the rest is like these winters; None without a count."""
    ends_at_pace: Lasts | None
    """The same with all of them burning at the pace so far."""
    days: tuple[date, ...]
    daily_kg: np.ndarray
    """Shape (winters, days)."""


def left_now(entries: Sequence[Entry], scenario: Scenario, on: date) -> Left | None:
    """What is left of the pile on the evening of a day, by the journal; None if never counted.

    The pile of ``[fuel] pile`` counts as the season's first day's, unless it was counted since.
    """
    first = season_first(scenario, on)
    fuel = default_fuel(scenario.heater.kind, scenario_fuel(scenario))
    pile = scenario.fuel.pile
    begun = None
    if pile is not None and fuel.kind in PILED:
        begun = (first, mass_of_stack(float(pile), fuel) if fuel.kind == "wood" else float(pile))
    return left_of(entries, begun, on)


def season_first(scenario: Scenario, on: date) -> date:
    """First day of the season that a day belongs to, or follows."""
    month, day = scenario.site.season_start
    start = _day(on.year, month, day)
    return start if start <= on else _day(on.year - 1, month, day)


def season_last(scenario: Scenario, first: date) -> date:
    """Last day of the season that begins on a day."""
    month, day = scenario.site.season_end
    end = _day(first.year, month, day)
    return end if end >= first else _day(first.year + 1, month, day)


def _day(year: int, month: int, day: int) -> date:
    return date(year, month, min(day, 28) if month == 2 else day)


def so_far(
    scenario: Scenario, entries: Sequence[Entry], on: date, seasons: Sequence[Season] = ()
) -> SoFar:
    """The winter so far.

    Parameters
    ----------
    scenario
        The farm.
    entries
        The whole journal.
    on
        The day whose evening it is; after the season its last day.
    seasons
        Traced seasons without a limit to the pile, one a winter; none for no plan.
    """
    first = season_first(scenario, on)
    last = min(on, season_last(scenario, first))
    own = between(entries, first, last)
    fuel = default_fuel(scenario.heater.kind, scenario_fuel(scenario))
    hours, noted = work_hours(scenario, own, fuel)
    left = left_now(entries, scenario, last)
    cold = [one for one in own if one.indoor_C is not None]
    used = used_kg(own)
    plan = None
    if seasons and fuel.kind in PILED:
        plan = _plan(seasons, used, left, last)
    return SoFar(
        first,
        last,
        fuel,
        tuple(own),
        sum(one.kind == LOAD for one in own),
        sum(one.kind in (LOAD, VISIT, READING) for one in own),
        sum((one.until - one.at).total_seconds() / 3600.0 for one in own if one.until),
        used,
        left,
        hours,
        noted,
        nights_up(own),
        min(cold, key=lambda one: one.indoor_C or 0.0) if cold else None,
        plan,
    )


def work_hours(
    scenario: Scenario, entries: Sequence[Entry], fuel: Fuel
) -> tuple[dict[str, float], float]:
    """Hours of work by task, and the share of them that was noted: the rest is by the tables."""
    rate, at_heater = rates(scenario), labour(scenario.heater.kind, scenario.heater.overrides)
    at_heater = at_heater._replace(load_min=scenario.heater.count * at_heater.load_min)
    hours: dict[str, float] = {}
    noted = 0.0
    for one in entries:
        task, usual_min = _usual(one, rate, at_heater, fuel)
        spent = usual_min if one.minutes is None else one.minutes
        if one.minutes is not None:
            noted += one.minutes / 60.0
        if spent > 0.0:
            hours[task] = hours.get(task, 0.0) + spent / 60.0
    total = sum(hours.values())
    return hours, noted / total if total > 0.0 else 0.0


def _usual(one: Entry, rate: dict[str, float], at_heater: object, fuel: Fuel) -> tuple[str, float]:
    """The task that an entry belongs to, and the minutes that it usually takes."""
    kg = one.kg or 0.0
    night_min = getattr(at_heater, "night_min", 0.0) if one.woken else 0.0
    task = "night visits" if one.woken else "looking in"
    if one.kind == LOAD:
        minutes = getattr(at_heater, "load_min", 0.0) + getattr(at_heater, "ash_min_kg", 0.0) * kg
        return "night visits" if one.woken else "loading", minutes + night_min
    if one.kind == CARRIED:
        if fuel.cord_kg:
            return "carrying", 60.0 * rate["carrying"] * kg / fuel.cord_kg
        return "carrying", 60.0 * rate["carrying_pellets"] * kg / SHORT_TON_KG
    if one.kind == VISIT:
        return task, LOOK_S / 60.0 + night_min
    return ("power cuts" if one.kind == CUT else task), night_min


def _plan(seasons: Sequence[Season], spent_kg: float, left: Left | None, on: date) -> Plan:
    used = use(seasons)
    place = used.place((on.month, on.day))
    stop = 0 if place is None else place + 1
    by_now = used.kg[:, :stop].sum(axis=1)
    nights = [
        float((by_day(season, season.column("woken"))[:stop] > 0.0).sum()) for season in seasons
    ]
    whole = used.total_kg
    pace = None
    middle = float(np.median(by_now))
    if middle > ENOUGH_TO_TELL * float(np.median(whole)) and spent_kg > 0.0:
        pace = spent_kg / middle
    ends = at_pace = None
    tomorrow = on + timedelta(days=1)
    if left is not None and used.place((tomorrow.month, tomorrow.day)) is not None:
        ends = lasts(used, left.kg, tomorrow)
        if pace is not None:
            at_pace = lasts(Use(used.days, used.kg * pace), left.kg, tomorrow)
    return Plan(
        len(seasons), band(by_now), band(nights), band(whole), pace, ends, at_pace, used.days,
        used.kg,
    )  # fmt: skip


def band(values: Sequence[float] | np.ndarray) -> Band:
    """Middle, 10th and 90th percentile."""
    low, middle, high = (quantile(values, share) for share in (0.1, 0.5, 0.9))
    return Band(middle, low, high)
