"""How long the greenhouse goes well alone, from every evening of every winter.

The season runs with the grower at home. On each evening it is left at the last look-in before
bedtime: the grower tends once more, then nobody comes. The state is copied for this: the season
itself goes on as it was.

Of a stove whose air is set and left the last load is made in one of two ways, whichever keeps the
crop unhurt for longer: as the routine has it for a trip of two weeks (filled, the air shut to the
lowest steady fire, as for any absence longer than the fire can last), or as for a long night, with
the air open for the cold that is coming. In mild weather the first lasts longer, in deep cold the
second holds off the frost. Every other heater is filled as for the trip.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.heater.backup import backup_numbers
from greenhouse_sim.heater.numbers import SET_AND_LEAVE, Backup
from greenhouse_sim.plans.absence_terms import Terms, chosen_backup
from greenhouse_sim.plans.departures import (
    DAY_H,
    MOST_DAYS,
    Evenings,
    clock,
    evenings,
    leaving,
    nobody,
    until_return,
    visited,
)
from greenhouse_sim.season import branch
from greenhouse_sim.season.branch import Alone
from greenhouse_sim.season.many import Task, Tell, cores, engine_name, first_state
from greenhouse_sim.season.run import Winter

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
FULL_H = MOST_DAYS * DAY_H
LONG_NIGHT_H = 12.0
"""Hours that the other way to load is for (common practice, no source)."""
HOT_H = 2 * DAY_H
"""Hours for which shut vents are watched: the next day and the one after."""
WINTERS_COMPILED = 2
"""Winters of branches interpreted that take longer than compiling."""
NOT_HOT = 1.0e9
Job = tuple[Task, Alone, Array]
"""A season, what is different after a departure, and the hours of departure."""
Answered = tuple[Array, Array]
"""Answers and back-up fuel, as `greenhouse_sim.season.branch.branches` fills them."""


class Left(NamedTuple):
    """What came of leaving under one arrangement.

    Arrays of shape (winters, evenings): hours from the departure, inf where it did not come about,
    NaN for an evening that a winter does not have.
    """

    fire_out_h: Array
    hurt_h: Array
    below_h: Array
    """Until the air was under the setpoint."""
    hot_h: Array
    tank_h: Array
    run_h: Array
    """Hours that were looked at."""
    lowest_crop: Array
    visits: Array
    loaded_kg: Array
    alarm_h: Array
    """Shape (winters, evenings, alarms)."""
    backup_j: Array
    """Fuel of the back-up by the end of each day, J; shape (winters, evenings, days), NaN where
    the day was not run."""


@dataclass(frozen=True, eq=False)
class Absence:
    """The whole answer."""

    heater: str
    winters: tuple[Winter, ...]
    evenings: Evenings
    gap_h: Array
    """Hours that the last load was made for, shape (winters, evenings)."""
    terms: Terms
    backup: str
    """Name of the back-up that is tried; the scenario's own where it has one."""
    has_backup: bool
    """Whether the scenario has it."""
    starts_below: float
    """Air temperature that the back-up holds, °C."""
    alone: Left
    """Nobody, no back-up."""
    backed: Left
    """Nobody, with the back-up."""
    helped: Left
    """A helper once a day, no back-up."""
    helped_backed: Left | None
    """A helper once a day with the scenario's back-up; None where it has none."""
    shut: Left
    """Nobody, and the vents stay shut; no back-up."""
    fuel_j: Array
    """What the back-up would burn by the end of each day if it never ran out, as `Left` has it."""

    @property
    def own(self) -> Left:
        """Nobody, as the scenario stands: with its back-up, if it has one."""
        return self.backed if self.has_backup else self.alone


def absence(
    scenario: Scenario,
    winters: Sequence[Winter],
    tasks: Sequence[Task],
    how: Terms,
    *,
    engine: str = "auto",
    tell: Tell | None = None,
) -> Absence:
    """Leave every evening of every winter, alone and with help.

    Parameters
    ----------
    scenario
        The farm.
    winters
        As the grower expects them (`greenhouse_sim.plans.foreseen.foreseen`).
    tasks
        Its own heater in each of them (`greenhouse_sim.plans.foreseen.tasks_of`).
    how
        See `terms`.
    engine, tell
        See `greenhouse_sim.season.many.run_many`.
    """
    function = branch_function(engine, len(winters), tell)
    when = evenings(winters)
    name, backup, below = chosen_backup(scenario)
    none = backup_numbers()
    alarms = len(how.alarms)

    def leave(ways: Sequence[Way], gaps: Sequence[Array]) -> list[Left]:
        jobs = [
            job_of(way, winter, task, starts[starts >= 0], own[starts >= 0], how)
            for way, gap_h in zip(ways, gaps, strict=True)
            for winter, task, starts, own in zip(winters, tasks, when.starts, gap_h, strict=True)
        ]
        done = run_branches(function, jobs)
        many = len(winters)
        parts = [done[n * many : (n + 1) * many] for n in range(len(ways))]
        return [_gathered(part, when, alarms) for part in parts]

    trip_h, night_h = last_loads(tasks, when)
    if tasks[0].heater.law == SET_AND_LEAVE:
        by_trip, by_night = leave([Way(none)] * 2, [trip_h, night_h])
        better = by_night.hurt_h > by_trip.hurt_h
        gap_h = np.where(better, night_h, trip_h)
        alone = Left(*(_either(better, *pair) for pair in zip(by_night, by_trip, strict=True)))
    else:
        gap_h = trip_h
        (alone,) = leave([Way(none)], [trip_h])
    ways = [Way(backup), Way(none, helper=True), Way(none, vents=False, days=HOT_H // DAY_H)]
    if scenario.backup is not None:
        ways.append(Way(backup, helper=True))
    if np.isfinite(how.tank_j):
        ways.append(Way(backup, tank=False))
    backed, helped, shut, *more = leave(ways, [gap_h] * len(ways))
    return Absence(
        scenario.heater.kind,
        tuple(winters),
        when,
        gap_h,
        how,
        name,
        scenario.backup is not None,
        below,
        alone,
        backed,
        helped,
        more[0] if scenario.backup is not None else None,
        shut,
        more[-1].backup_j if np.isfinite(how.tank_j) else backed.backup_j,
    )


def last_loads(tasks: Sequence[Task], when: Evenings) -> tuple[Array, Array]:
    """Hours that the last load may be made for, shape (winters, evenings) each: those of a trip
    of two weeks, and those of a long night."""
    trip_h = np.full(when.starts.shape, np.nan)
    for row, task, starts in zip(trip_h, tasks, when.starts, strict=True):
        row[starts >= 0] = until_return(task.calendar, starts[starts >= 0], FULL_H)
    return trip_h, np.minimum(LONG_NIGHT_H, trip_h)


def _either(first: Array, one: Array, other: Array) -> Array:
    """Evening by evening one answer or the other."""
    return np.where(first.reshape(first.shape + (1,) * (one.ndim - 2)), one, other)


class Way(NamedTuple):
    """A way to leave the greenhouse."""

    backup: Backup
    helper: bool = False
    """Somebody comes once a day."""
    vents: bool = True
    """The vents open by themselves."""
    days: int = MOST_DAYS
    """Days to look at."""
    tank: bool = True
    """The back-up has what is in its tank; without it, as much as it needs."""


def job_of(way: Way, winter: Winter, task: Task, starts: Array, gap_h: Array, how: Terms) -> Job:
    """The branches of one winter under a way to leave."""
    own = task.calendar
    house = task.walk.house
    if way.helper:
        gone = visited(own, clock(winter), how.helper_hour)
        first = gone._replace(away=own.away, chance=own.chance)
        begin = leaving(first, starts, np.minimum(gap_h, gone.gap_h[starts]))
    else:
        gone = nobody(own)
        begin = leaving(own, starts, gap_h)
    alone = Alone(
        house if way.vents else house._replace(vent_w_k=0.0),
        begin,
        gone,
        way.backup,
        backup_numbers(),
        how.tank_j if way.tank else np.inf,
        NOT_HOT if way.vents else how.high,
        np.array(how.alarms),
        way.days * DAY_H,
    )
    return task, alone, starts


def branch_function(engine: str, winters: int, tell: Tell | None = None) -> Callable:
    """The branching season of an engine; ``tell`` is called where one has to wait for it."""
    from greenhouse_sim.season import compiled

    chosen = engine_name(engine, WINTERS_COMPILED * MOST_DAYS * winters)
    if chosen == "python":
        return branch.branches
    if tell is not None and not compiled.is_cached(branch.branches):
        tell("Compiling the absences for this machine (once, about half a minute) ...")
    return compiled.compiled_branches()


def run_branches(function: Callable, jobs: Sequence[Job]) -> list[Answered]:
    """Answers and back-up fuel of each job.

    On all cores where the function is compiled (the first alone: it may compile or load).
    """

    def run(job: Job) -> Answered:
        task, alone, starts = job
        state = first_state(task)
        table = task.walk.slow.modes.table.copy()
        answers = np.full((len(starts), branch.ALARMS + len(alone.low)), branch.NEVER)
        fuel_j = np.full((len(starts), alone.span_h // DAY_H), np.nan)
        function(
            task.walk.house, task.walk.slow.modes, task.walk.hours, task.calendar, task.habits,
            task.heater, task.backup, alone, starts, state, table, answers, fuel_j,
            branch.scratch_for(table),
        )  # fmt: skip
        return answers, fuel_j

    if function is branch.branches or len(jobs) == 1:
        return [run(job) for job in jobs]
    first = run(jobs[0])
    with ThreadPoolExecutor(cores()) as pool:
        return [first, *pool.map(run, jobs[1:])]


def _gathered(found: Sequence[Answered], when: Evenings, alarms: int) -> Left:
    """The winters' answers side by side by evening."""
    shape = when.starts.shape
    answers = np.full((*shape, branch.ALARMS + alarms), np.nan)
    fuel_j = np.full((*shape, found[0][1].shape[1]), np.nan)
    for i, (mine, burnt) in enumerate(found):
        there = when.starts[i] >= 0
        answers[i, there] = mine
        fuel_j[i, there] = burnt

    def hours(place: int) -> Array:
        return np.where(answers[..., place] == branch.NEVER, np.inf, answers[..., place])

    return Left(
        hours(branch.FIRE_OUT_H),
        hours(branch.HURT_H),
        hours(branch.BELOW_H),
        hours(branch.HOT_H),
        hours(branch.TANK_H),
        answers[..., branch.RUN_H],
        answers[..., branch.LOWEST_CROP],
        answers[..., branch.VISITS],
        answers[..., branch.LOADED_KG],
        np.stack([hours(branch.ALARMS + k) for k in range(alarms)], axis=-1),
        fuel_j,
    )
