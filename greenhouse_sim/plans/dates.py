"""Season dates as a lever: when heating starts and stops, a rest, days without fire.

The house stands through the whole season of the scenario and is tended as it says; only what is
asked of the heater changes with the day. So soil and store keep their memory, and an unheated
stretch is as cold as it would be.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.drive.rest import NO_HEAT_C, lowered
from greenhouse_sim.heater.catalogue import burns
from greenhouse_sim.plans.foreseen import Work, done_all, foreseen, prepared, tasks_of
from greenhouse_sim.routine.chances import untended
from greenhouse_sim.routine.no_burn import no_burn_hours
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import Tallied
from greenhouse_sim.season.run import Winter
from greenhouse_sim.tables.read import read_keyed
from greenhouse_sim.units import KWH_J
from greenhouse_sim.weather import Weather
from greenhouse_sim.weather.month_day import MonthAndDay, within

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
CROP = at.TRACE.index("crop_C")
AIR = at.TRACE.index("air_C")
LEAST_D = 30
"""Days that must be left to heat."""
PLAIN, START, STOP, REST, NO_BURN = "as it is", "start", "stop", "rest", "no burn"


class Choice(NamedTuple):
    """One way to place the heating in the season."""

    group: str
    """`PLAIN`, `START`, `STOP`, `REST` or `NO_BURN`."""
    first: MonthAndDay | None = None
    """First day of heating, or of the rest."""
    last: MonthAndDay | None = None
    """Last day of heating, or of the rest."""
    held_C: float | None = None
    """Held in the rest; None for no heat."""
    days: int = 0
    """Days without fire."""


class Dated(NamedTuple):
    """A choice run through every winter; arrays of shape (winters,)."""

    choice: Choice
    fuel_kg: Array
    heat_kWh: Array
    wakeups: Array
    cold_h: Array
    """Hours below setpoint while a setpoint is held."""
    damage_h: Array
    """Hours under the crop's damage temperature while the usual setpoint is held."""
    lowest_off_C: Array
    """Coldest air while it is not; NaN where it always is."""


def choices(scenario: Scenario) -> tuple[Choice, ...]:
    """What is tried: the season as it is, later starts, earlier stops, rests, days without fire."""
    number = {key: row.number for key, row in read_keyed("dates").items()}
    begins, ends = _days(scenario)
    most = max(0, ((ends - begins).days - LEAST_D) // int(number["step"]))
    shifts = [timedelta(days=number["step"] * n) for n in range(1, int(number["steps"]) + 1)][:most]
    tried = [Choice(PLAIN)]
    tried += [Choice(START, first=_of(begins + shift)) for shift in shifts]
    tried += [Choice(STOP, last=_of(ends - shift)) for shift in shifts]
    first, last = (divmod(int(number[key]), 100) for key in ("rest_first", "rest_last"))
    low = min(scenario.crop.damage_below + number["frost_margin"], scenario.crop.setpoint_night)
    own = scenario.crop.rest
    if own is None and _inside(first, last, begins, ends):
        tried += [Choice(REST, first, last, None), Choice(REST, first, last, low)]
    if burns(scenario.heater.kind) == "wood" and not scenario.routine.no_burn:
        tried += [Choice(NO_BURN, days=int(number[key])) for key in ("no_burn_few", "no_burn_many")]
    return tuple(tried)


def _days(scenario: Scenario) -> tuple[date, date]:
    """First and last day of the season in a year without leap day."""
    site = scenario.site
    begins = date(2026, *site.season_start)
    ends = date(2026, *site.season_end)
    return begins, ends if ends > begins else date(2027, *site.season_end)


def _of(day: date) -> MonthAndDay:
    return day.month, day.day


def _inside(first: MonthAndDay, last: MonthAndDay, begins: date, ends: date) -> bool:
    """Whether a rest lies within the season, with days to heat before or after it."""
    rest = [date(begins.year, *first), date(begins.year, *last)]
    if rest[1] < rest[0]:
        rest[1] = date(begins.year + 1, *last)
    return begins < rest[0] and rest[1] < ends


def steps(winters: int, tried: Sequence[Choice]) -> int:
    """Steps of the work, for a bar: winters made ready, and seasons run."""
    again = sum(choice.group != NO_BURN for choice in tried)
    return winters * (1 + again + len(tried))


def dates(
    scenario: Scenario,
    weather: Sequence[Weather],
    tried: Sequence[Choice],
    work: Work | None = None,
) -> tuple[Dated, ...]:
    """Run the scenario's heater with each choice.

    Parameters
    ----------
    scenario
        The scenario.
    weather
        Its winters.
    tried
        See `choices`; the first is the season as it is.
    work
        How work is done and told.
    """
    how = (work or Work()).settled(len(weather) * len(tried))
    bare = prepared(scenario, weather, how)
    plain = foreseen(scenario, bare, how)
    found = []
    for choice in tried:
        if choice.group == PLAIN:
            winters = plain
        elif choice.group == NO_BURN:
            winters = tuple(without_fire(one, choice.days) for one in plain)
        else:
            winters = foreseen(scenario, [placed(one, choice) for one in bare], how)
        runs = done_all(tasks_of(scenario, winters, scenario.heater.kind, traced=True), how)
        found.append(_dated(scenario, choice, plain, winters, runs))
    return tuple(found)


def placed(winter: Winter, choice: Choice) -> Winter:
    """The winter with its setpoints as the choice has them; nobody gets up while they are low."""
    resting = off_hours(choice, winter.weather.start, winter.weather.hours)
    setpoint = lowered(winter.drive.setpoint, resting, choice.held_C)
    asleep = np.where(resting, 0.0, winter.calendar.asleep)
    return winter._replace(
        drive=winter.drive._replace(setpoint=setpoint),
        walk=winter.walk._replace(hours=winter.walk.hours._replace(setpoint=setpoint)),
        calendar=winter.calendar._replace(asleep=asleep),
    )


def off_hours(choice: Choice, start: datetime, hours: int) -> Array:
    """True in the hours in which the usual setpoint is not held, shape (hours,)."""
    if choice.group == REST and choice.first and choice.last:
        return within(choice.first, choice.last, start, hours)
    hour = np.arange(hours)
    if choice.group == START and choice.first:
        return hour < _hour_of(choice.first, start)
    if choice.group == STOP and choice.last:
        return hour >= _hour_of(choice.last, start) + 24
    return np.zeros(hours, dtype=bool)


def _hour_of(day: MonthAndDay, start: datetime) -> int:
    """Hours from the start of the season to the midnight that begins this day."""
    for year in (start.year, start.year + 1):
        begins = datetime(year, day[0], min(day[1], 28) if day[0] == 2 else day[1])
        if begins >= start:
            return int((begins - start) / timedelta(hours=1))
    return 0


def without_fire(winter: Winter, days: int) -> Winter:
    """The winter with so many days, drawn at random, on which nothing is lit or loaded."""
    banned = no_burn_hours(days, winter.weather.start, winter.weather.hours)
    return winter._replace(calendar=untended(winter.calendar, banned, known=True))


def _dated(
    scenario: Scenario,
    choice: Choice,
    plain: Sequence[Winter],
    winters: Sequence[Winter],
    runs: Sequence[Tallied],
) -> Dated:
    total = np.array([run.total for run in runs])
    hurt, lowest = [], []
    for before, after, run in zip(plain, winters, runs, strict=True):
        off = (after.drive.setpoint < before.drive.setpoint) | (after.drive.setpoint <= NO_HEAT_C)
        hurt.append(float(np.sum(run.trace[~off, CROP] < scenario.crop.damage_below)))
        lowest.append(float(run.trace[off, AIR].min()) if off.any() else np.nan)
    return Dated(
        choice, total[:, at.FUEL_KG], total[:, at.HEAT_J] / KWH_J, total[:, at.WAKEUPS],
        total[:, at.COLD_H], np.array(hurt), np.array(lowest),
    )  # fmt: skip
