"""A planned trip judged: the season run with it, in past winters or under a forecast."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.plans.absence import LONG_NIGHT_H
from greenhouse_sim.plans.departures import leaving
from greenhouse_sim.plans.foreseen import Work, done_all
from greenhouse_sim.routine.calendar import calendar
from greenhouse_sim.routine.numbers import Calendar
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.branch import fire_is_out
from greenhouse_sim.season.many import Task
from greenhouse_sim.season.run import Winter
from greenhouse_sim.units import quoted

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
Span = tuple[datetime, datetime]
NIGHT_H = (18, 15)
"""A night of the trip: from 18:00, 15 hours."""
COLUMNS = {name: place for place, name in enumerate(at.TRACE)}


class Outcome(NamedTuple):
    """The trip in one winter. Hours from the trip's first hour; inf where it did not happen."""

    winter: str
    fire_out_h: float
    hurt_h: float
    below_h: float
    """Hours under the setpoint."""
    lowest_crop: float
    """°C."""
    lowest_out: float
    backup_j: float
    """Fuel of the back-up."""


class Night(NamedTuple):
    """One night of the trip over all winters; °C, shares of winters."""

    evening: date
    """In the first winter."""
    out: Array
    """Coldest hour outside in each winter."""
    crop: Array
    """Coldest hour at the plants in each winter."""
    fire: float
    """Share in which the fire still burns at its end."""
    hurt: float
    """Share in which the crop is hurt in it."""


class Trip(NamedTuple):
    """A trip judged."""

    span: Span
    """As it was written."""
    outcomes: tuple[Outcome, ...]
    nights: tuple[Night, ...]
    forecast: str
    """Name of the forecast; "" where past winters judge."""


def read_span(first: str | None, last: str | None) -> Span | None:
    """The trip of ``--from`` and ``--to``; None where neither is given.

    Raises
    ------
    ScenarioError
        One without the other, no date and time, or an end that is not after the start.
    """
    example = '--from "2027-01-10 17:00" --to "2027-01-12 18:00"'
    if first is None and last is None:
        return None
    if first is None or last is None:
        raise ScenarioError(f"--from and --to belong together; write {example}")
    start, end = _moment(first, "--from"), _moment(last, "--to")
    if end <= start:
        raise ScenarioError(
            f"--to: the trip ends at {end:%Y-%m-%d %H:%M}, not after it starts at "
            f"{start:%Y-%m-%d %H:%M}; write the earlier time first: {example}"
        )
    return start, end


def _moment(text: str, where: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text.strip())
    except ValueError:
        moment = None
    if moment is None or moment.tzinfo is not None:
        raise ScenarioError(
            f"{where}: {quoted(text)} is not a local date and time; write it as in "
            '"2027-01-10 17:00"'
        )
    return moment


def trip_hours(scenario: Scenario, winter: Winter, span: Span) -> tuple[int, int]:
    """First hour of a trip in this winter, and the hour after its last.

    Raises
    ------
    ScenarioError
        The trip is not wholly inside the season.
    """
    plain = scenario.routine.model_copy(update={"away": (span,), "work": None})
    weather = winter.weather
    hours = np.flatnonzero(calendar(plain, (), weather.start, weather.hours).away > 0.5)
    length = (span[1] - span[0]) / timedelta(hours=1)
    if hours.size < length - 1.0 or not hours.size:
        last = weather.start + timedelta(hours=weather.hours - 1)
        raise ScenarioError(
            f"the trip from {span[0]:%d %B %H:%M} to {span[1]:%d %B %H:%M} is not inside the "
            f"season ({weather.start:%d %B} to {last:%d %B}); write other days, or widen "
            "[site] season"
        )
    return int(hours[0]), int(hours[-1]) + 1


def with_trip(scenario: Scenario, winter: Winter, span: Span) -> Calendar:
    """The winter's calendar with the trip in its routine, beside those that it has."""
    routine = scenario.routine
    away = routine.away if span in routine.away else (*routine.away, span)
    changed = routine.model_copy(update={"away": away})
    weather = winter.weather
    return calendar(changed, scenario.site.power_cuts, weather.start, weather.hours)


def loaded_for_night(days: Calendar, first: int) -> Calendar:
    """The calendar in which the last load before the hour ``first`` is made as for a long night
    (`greenhouse_sim.plans.absence`)."""
    chances = np.flatnonzero(days.chance[:first] > 0.5)
    if not chances.size:
        return days
    last = chances[-1:]
    return leaving(days, last, np.minimum(LONG_NIGHT_H, days.gap_h[last]))


def judge(
    scenario: Scenario,
    winters: Sequence[Winter],
    tasks: Sequence[Task],
    span: Span,
    *,
    forecast: str = "",
    work: Work | None = None,
) -> Trip:
    """Run every winter with the trip, and tell how it went, with the better of two last loads.

    Parameters
    ----------
    scenario, winters, tasks
        As in `greenhouse_sim.plans.absence.absence`.
    span
        The trip; moved to the year of each winter.
    forecast
        Name of the forecast that is in the one winter.
    work
        See `greenhouse_sim.plans.foreseen.Work`.

    Raises
    ------
    ScenarioError
        The trip is not inside the season.
    """
    places = [trip_hours(scenario, winter, span) for winter in winters]
    planned = [
        task._replace(calendar=with_trip(scenario, winter, span), traced=True)
        for task, winter in zip(tasks, winters, strict=True)
    ]
    by_night = [
        task._replace(calendar=loaded_for_night(task.calendar, first))
        for task, (first, _) in zip(planned, places, strict=True)
    ]
    ran = done_all([*planned, *by_night], work or Work())
    many = len(planned)
    traces, outcomes = [], []
    for n, (task, winter, place) in enumerate(zip(planned, winters, places, strict=True)):
        ways = [ran[n].trace, ran[many + n].trace]
        told = [_outcome(task, winter, trace, place) for trace in ways]
        best = 1 if told[1].hurt_h > told[0].hurt_h else 0
        traces.append(ways[best])
        outcomes.append(told[best])
    nights = _nights(planned, winters, traces, places)
    return Trip(span, tuple(outcomes), nights, forecast)


def _first(happened: Array) -> float:
    found = np.flatnonzero(happened)
    return float(found[0]) if found.size else np.inf


def _outcome(task: Task, winter: Winter, trace: Array, place: tuple[int, int]) -> Outcome:
    part = trace[place[0] : place[1]]
    crop = part[:, COLUMNS["crop_C"]]
    fuel = part[:, COLUMNS["fuel_left_kg"]]
    out = np.array([fire_is_out(task.heater, kg) for kg in fuel])
    return Outcome(
        winter.weather.name,
        _first(out),
        _first(crop < task.walk.house.damage_below),
        float(np.sum(part[:, COLUMNS["cause"]] > 0.0)),
        float(crop.min()),
        float(winter.drive.t_out[place[0] : place[1]].min()),
        float(part[:, COLUMNS["backup_W"]].sum() * 3600.0 / task.backup.efficiency),
    )


def _nights(
    tasks: Sequence[Task],
    winters: Sequence[Winter],
    traces: Sequence[Array],
    places: Sequence[tuple[int, int]],
) -> tuple[Night, ...]:
    begun = winters[0].weather.start + timedelta(hours=places[0][0])
    length = places[0][1] - places[0][0]
    evening = (begun - timedelta(hours=12)).date()
    nights: list[Night] = []
    while True:
        dusk = datetime(evening.year, evening.month, evening.day, NIGHT_H[0])
        first = int((dusk - begun) / timedelta(hours=1))
        if first >= length:
            return tuple(nights)
        part = slice(max(0, first), min(length, first + NIGHT_H[1]))
        if part.stop > part.start:
            nights.append(_night(evening, part, tasks, winters, traces, places))
        evening += timedelta(days=1)


def _night(
    evening: date,
    part: slice,
    tasks: Sequence[Task],
    winters: Sequence[Winter],
    traces: Sequence[Array],
    places: Sequence[tuple[int, int]],
) -> Night:
    spans = [slice(first + part.start, min(first + part.stop, last)) for first, last in places]
    crop = [trace[one, COLUMNS["crop_C"]] for trace, one in zip(traces, spans, strict=True)]
    fuel = [
        trace[one.stop - 1, COLUMNS["fuel_left_kg"]]
        for trace, one in zip(traces, spans, strict=True)
    ]
    alive = [not fire_is_out(task.heater, kg) for task, kg in zip(tasks, fuel, strict=True)]
    lowest = np.array([values.min() for values in crop])
    damage = tasks[0].walk.house.damage_below
    out = np.array([
        winter.drive.t_out[one].min() for winter, one in zip(winters, spans, strict=True)
    ])  # fmt: skip
    return Night(evening, out, lowest, float(np.mean(alive)), float(np.mean(lowest < damage)))
