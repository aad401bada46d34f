"""KERNEL: leave the running season on many evenings, and see how long it goes well alone.

The season runs as it does; at each departure its state is copied, the grower tends once more as
for a long absence, and the copy runs on with nobody there until what is asked is known.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from greenhouse_sim.greenhouse.numbers import House
from greenhouse_sim.heater.burn import OUT_SHARE
from greenhouse_sim.heater.numbers import Backup, Heater
from greenhouse_sim.routine.numbers import Calendar, Habits
from greenhouse_sim.season import numbers as now
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.hour import season
from greenhouse_sim.season.numbers import Array, Hours, Modes

EMPTY_SHARE = 0.001
"""A hopper with less than this share of its charge is empty."""
STRETCH_H = 12
"""Hours that are run before it is asked whether all is known."""
ENDLESS_J = 1.0e30
"""A tank with more than this is never empty."""
AIR_COLUMN = 0
CAUSE_COLUMN = 9
FUEL_COLUMN = 11
CROP_COLUMN = 12
"""Columns of the trace, see `tally.TRACE`."""

# places in an answer; hours are those that passed before the hour in which it happened
FIRE_OUT_H = 0
"""Until the fire died."""
HURT_H = 1
"""Until the air at the plants was under the crop's damage temperature."""
BELOW_H = 2
"""Until the air was under its setpoint (by more than the band of a cold hour)."""
HOT_H = 3
"""Until the air was over the high alarm."""
TANK_H = 4
"""Until the back-up's tank was empty."""
RUN_H = 5
"""Hours that were run."""
LOWEST_CROP = 6
"""Coldest hour at the plants, °C."""
VISITS = 7
"""Visits of a helper at which something was done."""
LOADED_KG = 8
"""Fuel that a helper put in, kg."""
ALARMS = 9
"""First of the low alarms: hours until the air was under each."""
NEVER = -1.0
"""An hour that did not come while it was run."""


class Alone(NamedTuple):
    """What is different once the grower has gone."""

    house: House
    leaving: Calendar
    """The hour of departure: its gap lasts to the return."""
    gone: Calendar
    """The hours after it: nobody, or a helper now and then."""
    backup: Backup
    no_backup: Backup
    """What is left of the back-up once its tank is empty."""
    tank_j: float
    """Fuel of the back-up at departure, J; the hour in which it is used up is run to its end."""
    high: float
    """Air temperature of the high alarm, °C."""
    low: Array
    """Air temperatures of the low alarms, °C; shape (alarms,)."""
    span_h: int
    """Hours to run from a departure, at most."""


class Scratch(NamedTuple):
    """Arrays to work in: a kernel that makes none can be kept as machine code."""

    total: Array
    month_kg: Array
    """Tally of what runs; of a departure it is read, of the season that is left it is not."""
    untraced: Array
    """A trace without rows."""
    trace: Array
    """Shape (STRETCH_H, tally.TRACE_SIZE)."""
    state: Array
    table: Array
    """Of a departure, as in `season`."""


def scratch_for(table: Array) -> Scratch:
    """Arrays for a season with such a table of modes."""
    return Scratch(
        np.zeros(at.SIZE),
        np.zeros(at.MONTHS),
        np.zeros((0, at.TRACE_SIZE)),
        np.zeros((STRETCH_H, at.TRACE_SIZE)),
        np.zeros(now.STATE_SIZE),
        np.zeros(table.shape),
    )


def branches(
    house: House,
    modes: Modes,
    hours: Hours,
    calendar: Calendar,
    habits: Habits,
    heater: Heater,
    backup: Backup,
    alone: Alone,
    starts: Array,
    state: Array,
    table: Array,
    answers: Array,
    fuel_j: Array,
    scratch: Scratch,
) -> None:
    """Run the season and leave it at each of ``starts``.

    Parameters
    ----------
    house, modes, hours, calendar, habits, heater, backup
        The season's numbers, as in `greenhouse_sim.season.hour.season`.
    alone
        What is different after a departure.
    starts
        int64, shape (departures,): the hours of departure, rising.
    state, table
        Where the season starts, as in `season`; afterwards where it ended.
    answers
        float64, shape (departures, ALARMS + alarms): filled in.
    fuel_j
        float64, shape (departures, days): fuel of the back-up burnt by the end of each day, J,
        filled in for whole days that were run.
    scratch
        Arrays to work in (`scratch_for`).
    """
    count = hours.t_out.shape[0]
    first = 0
    for i in range(starts.shape[0]):
        start = starts[i]
        season(
            house, modes, hours, calendar, habits, heater, backup,
            first, start, state, table,
            scratch.total, scratch.month_kg, scratch.untraced,
        )  # fmt: skip
        first = start
        for k in range(state.shape[0]):
            scratch.state[k] = state[k]
        for row in range(table.shape[0]):
            for k in range(table.shape[1]):
                scratch.table[row, k] = table[row, k]
        stop = min(count, start + alone.span_h)
        leave(
            modes, hours, habits, heater, alone, start, stop,
            answers[i], fuel_j[i], scratch,
        )  # fmt: skip
    season(
        house, modes, hours, calendar, habits, heater, backup,
        first, count, state, table,
        scratch.total, scratch.month_kg, scratch.untraced,
    )  # fmt: skip


def leave(
    modes: Modes,
    hours: Hours,
    habits: Habits,
    heater: Heater,
    alone: Alone,
    start: int,
    stop: int,
    answer: Array,
    fuel_j: Array,
    scratch: Scratch,
) -> None:
    """One departure: run on until fire and crop are both lost, or it is too hot."""
    total = scratch.total
    month_kg = scratch.month_kg
    trace = scratch.trace
    for k in range(total.shape[0]):
        total[k] = 0.0
    for k in range(month_kg.shape[0]):
        month_kg[k] = 0.0
    for k in range(answer.shape[0]):
        answer[k] = NEVER
    answer[LOWEST_CROP] = 1000.0
    backup = alone.backup
    if alone.tank_j <= 0.0:
        backup = alone.no_backup
        answer[TANK_H] = 0.0
    h = start
    while h < stop:
        # a tank may empty at any hour: then hour by hour
        stretch = STRETCH_H if alone.tank_j >= ENDLESS_J else 1
        last = h + stretch - (h - start) % stretch
        if h == start:
            last = h + 1
        last = min(stop, last)
        season(
            alone.house, modes, hours, alone.leaving if h == start else alone.gone,
            habits, heater, backup, h, last, scratch.state, scratch.table,
            total, month_kg, trace[: last - h],
        )  # fmt: skip
        for row in range(last - h):
            read(answer, heater, alone, trace, row, float(h - start + row))
        h = last
        for day in range(fuel_j.shape[0]):
            if h - start == 24 * (day + 1):
                fuel_j[day] = total[at.BACKUP_FUEL_J]
        if answer[TANK_H] < 0.0 and total[at.BACKUP_FUEL_J] >= alone.tank_j:
            answer[TANK_H] = float(h - 1 - start)
            backup = alone.no_backup
        known = answer[FIRE_OUT_H] >= 0.0 or heater.hand_fed < 0.5
        if (known and answer[HURT_H] >= 0.0) or answer[HOT_H] >= 0.0:
            break
    answer[RUN_H] = float(h - start)
    answer[VISITS] = total[at.VISITS]
    answer[LOADED_KG] = total[at.LOADED_KG]


def read(
    answer: Array, heater: Heater, alone: Alone, trace: Array, row: int, passed: float
) -> None:
    """Note what an hour of the trace has for the first time."""
    air_t = trace[row, AIR_COLUMN]
    crop_t = trace[row, CROP_COLUMN]
    answer[LOWEST_CROP] = min(answer[LOWEST_CROP], crop_t)
    first_time(answer, FIRE_OUT_H, fire_is_out(heater, trace[row, FUEL_COLUMN]), passed)
    first_time(answer, HURT_H, crop_t < alone.house.damage_below, passed)
    first_time(answer, BELOW_H, trace[row, CAUSE_COLUMN] > 0.0, passed)
    first_time(answer, HOT_H, air_t > alone.high, passed)
    for k in range(alone.low.shape[0]):
        first_time(answer, ALARMS + k, air_t < alone.low[k], passed)


def first_time(answer: Array, place: int, happened: bool, passed: float) -> None:
    """Note the hour of what happened for the first time."""
    if happened and answer[place] < 0.0:
        answer[place] = passed


def fire_is_out(heater: Heater, fuel_kg: float) -> bool:
    """Whether a fire that somebody must feed has died, or its hopper is empty."""
    if heater.hand_fed < 0.5:
        return False
    return fuel_kg <= max(OUT_SHARE * heater.coal_kg, EMPTY_SHARE * heater.charge_kg)
