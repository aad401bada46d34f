"""The state now: the days before as the routine runs them, the last loads as they were noted.

From the first noted load on nobody does anything but what was noted: each load goes into the box at
its hour and burns by the heater's own law. What was in the box before the first of them, and how
far the air was open, nobody wrote down. So the fire is followed three times: as the routine would
have left the box and set the air; with an empty box before and the air open all the time; and with
a box as full as it can have been and the air at its lowest. The second and third bound what is left
now. A box cannot hold more than its charge: where more was noted, more had burnt.

A fire under a thermostat burns what the greenhouse asks, and nobody wrote down the weather either,
but for what the forecast's first hours say of those before: its bounds are those of weather so much
colder and warmer as one time in ten passes, and one firing of the store less and more, since nobody
knows when it last fired.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from greenhouse_sim.heater.numbers import (
    ROOM_THERMOSTAT,
    SET_AND_LEAVE,
    STORE_THERMOSTAT,
    Heater,
)
from greenhouse_sim.plans.departures import nobody
from greenhouse_sim.plans.tonight_error import number
from greenhouse_sim.plans.tonight_fire import Present
from greenhouse_sim.plans.tonight_night import Here, alone, no_trace, walk_on
from greenhouse_sim.plans.tonight_weather import Laid
from greenhouse_sim.routine.decide import plan
from greenhouse_sim.season import numbers as places
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import Task, first_state
from greenhouse_sim.season.modes import hours_of

Array = np.ndarray
MIDDLE, LEAST, MOST = "middle", "least", "most"


class Put(NamedTuple):
    """A load that was noted."""

    hours_ago: int
    kg: float


class Past(NamedTuple):
    """Where the loop stands now."""

    here: Here
    least: Here
    """With as little in the box as the noted loads allow; ``here`` where nothing was noted."""
    most: Here


def arrive(laid: Laid, task: Task, present: Present, puts: Sequence[Put] = ()) -> Past:
    """The state now: the days before, then what was noted, then what the grower sees.

    Parameters
    ----------
    laid, task
        The days before tonight and the heater in them.
    present
        What the grower sees; it goes before anything else.
    puts
        The noted loads, oldest first; none where the routine's own are to be taken.
    """
    task = task._replace(pile_kg=np.inf)
    known = [one for one in puts if laid.now - one.hours_ago >= 0]
    first = laid.now - known[0].hours_ago if known else laid.now
    state, table = first_state(task), task.walk.slow.modes.table.copy()
    walk_on(task, task.walk, task.calendar, 0, first, state, table, no_trace(), at.empty())
    begun = Here(first, state, table)
    sides = (MIDDLE, LEAST, MOST) if known and present.fuel_kg is None else (MIDDLE,)
    ends = [_seen(_follow(laid, task, begun, known, side), laid, task, present) for side in sides]
    return Past(ends[0], ends[1] if len(ends) > 1 else ends[0], ends[-1])


def _follow(laid: Laid, task: Task, begun: Here, puts: Sequence[Put], side: str) -> Here:
    """From the first noted load to now, with nothing done but what was noted."""
    state, table = begun.state.copy(), begun.table.copy()
    if task.heater.law in (ROOM_THERMOSTAT, STORE_THERMOSTAT):
        sign = {MIDDLE: 0.0, LEAST: -1.0, MOST: 1.0}[side]
        far = sign * number("careful") * laid.doubt_K
        task = _in_weather(laid, task, laid.tie_K + far)
    still, empty = alone(task), nobody(task.calendar)
    hour = begun.hour
    for n, one in enumerate(puts):
        then = laid.now - one.hours_ago
        walk_on(still, task.walk, empty, hour, then, state, table, no_trace(), at.empty())
        hour = then
        if n == 0 and (side != MIDDLE or task.heater.law == ROOM_THERMOSTAT):
            # a hopper is filled up, as the routine has it; a firebox is not
            room = max(task.heater.charge_kg - one.kg, 0.0)
            state[places.FUEL] = 0.0 if side == LEAST else room
        _put_in(state, task, hour, one.kg, side)
    walk_on(still, task.walk, empty, hour, laid.now, state, table, no_trace(), at.empty())
    if side != MIDDLE:
        phase_kg = firing_kg(task.heater) * (-1.0 if side == LEAST else 1.0)
        level = float(state[places.FUEL]) + phase_kg
        state[places.FUEL] = min(max(level, 0.0), task.heater.charge_kg)
    return Here(laid.now, state, table)


def firing_kg(heater: Heater) -> float:
    """Fuel of one firing of a store thermostat, from its lower to its upper temperature, kg."""
    if heater.law != STORE_THERMOSTAT:
        return 0.0
    span_K = max(heater.fire_above - heater.fire_below, 0.0)
    return heater.store_c * span_K / (heater.efficiency_max * heater.heat_j_kg)


def _in_weather(laid: Laid, task: Task, shift_K: Array) -> Task:
    """The heater in the days before with another air outside; sky and vapour stay."""
    house, slow = task.walk.house, task.walk.slow
    plain = laid.winter.drive
    other = plain._replace(t_out=plain.t_out + shift_K)
    (before, _), (after, _) = hours_of(house, slow, plain), hours_of(house, slow, other)
    hours = task.walk.hours._replace(
        t_out=after.t_out,
        push_w=task.walk.hours.push_w + after.push_w - before.push_w,
        into_modes=after.into_modes,
    )
    return task._replace(walk=task.walk._replace(hours=hours))


def _put_in(state: Array, task: Task, hour: int, kg: float, side: str) -> None:
    """A load, and the air that goes with it."""
    heater = task.heater
    level = min(float(state[places.FUEL]) + kg, heater.charge_kg)
    state[places.FUEL] = level
    if heater.law != ROOM_THERMOSTAT:
        state[places.LIT] = 1.0
    if heater.law != SET_AND_LEAVE:
        state[places.SETTING] = heater.burn_max_w
    elif side == MIDDLE:
        state[places.SETTING] = _usual_setting(state, task, hour, level)
    else:
        state[places.SETTING] = heater.burn_max_w if side == LEAST else heater.burn_min_w


def _usual_setting(state: Array, task: Task, hour: int, level: float) -> float:
    """The air that the routine would set with just this much in the box, W of fuel."""
    walk, days = task.walk, task.calendar
    todo = plan(
        task.heater._replace(charge_kg=level), task.habits, walk.hours.need_sum_j, hour,
        float(days.gap_h[hour]), walk.house.quick_c, float(walk.hours.setpoint[hour]),
        float(state[places.AIR]), float(walk.hours.t_out[hour]), 0.0, task.heater.burn_min_w, 0.0,
        float(state[places.CORE]),
    )  # fmt: skip
    return todo.setting_w


def _seen(here: Here, laid: Laid, task: Task, present: Present) -> Here:
    """What the grower sees in the place of what was reckoned."""
    state, table, heater = here.state, here.table, task.heater
    table[:, places.LEVEL_SUM] = 0.0
    state[places.AIR] = present.air_C
    if present.fuel_kg is not None:
        state[places.FUEL] = present.fuel_kg
        lit = present.fuel_kg > 0.0 and heater.law != ROOM_THERMOSTAT
        state[places.LIT] = 1.0 if lit else 0.0
    if present.store_C is not None:
        state[[places.CORE, places.SKIN]] = present.store_C
    state[places.SETTING] = min(max(state[places.SETTING], heater.burn_min_w), heater.burn_max_w)
    return Here(laid.now - laid.dawn, state, table)
