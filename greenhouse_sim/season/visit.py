"""KERNEL: the start of an hour: does somebody come, and what do they do?"""

from __future__ import annotations

from typing import NamedTuple

from greenhouse_sim.heater.burn import Fire
from greenhouse_sim.heater.numbers import ROOM_THERMOSTAT, SET_AND_LEAVE, Heater
from greenhouse_sim.routine.decide import Plan
from greenhouse_sim.routine.numbers import Habits
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.balance import Array

LOOK_S = 120.0
"""A look with a hand on the air control, s (common practice, no source)."""
MORE_AIR = 1.2
"""An alarm is worth getting up for if the air can be opened by this factor."""


class Visit(NamedTuple):
    """What a visit did."""

    fire: Fire
    loaded_kg: float
    made: float
    """1.0 where somebody came."""
    woken: float
    """1.0 where somebody got up for it."""


def wakes(habits: Habits, heater: Heater, air_t: float, since_woken_h: float, power: float) -> bool:
    """Whether the alarm gets the sleeper up: cold enough, rested, and not for want of power.

    Nobody gets up to sit by a fire that must be watched for hours.
    """
    return (
        air_t < habits.gets_up_below
        and heater.watch_share <= 0.0
        and since_woken_h >= habits.rest_h
        and (heater.needs_power < 0.5 or power > 0.5)
    )


def visit(
    heater: Heater, fire: Fire, todo: Plan, pile_kg: float, alarm: bool, total: Array
) -> Visit:
    """Carry out a plan, if it helps: load, light, set the air. Adds to the tally."""
    loaded = min(todo.load_kg, pile_kg)
    helps = todo.due > 0.5 and (loaded > 0.0 or fire.lit > 0.5)
    if alarm and heater.law == SET_AND_LEAVE and fire.lit > 0.5:
        helps = helps or todo.setting_w > MORE_AIR * fire.setting_w
    if not helps:
        return Visit(fire, 0.0, 0.0, 0.0)
    lit = fire.lit
    if loaded > 0.0:
        total[at.LOADS] += 1.0
        total[at.LOADED_KG] += loaded
        total[at.LOAD_S] += heater.load_s
        total[at.ASH_S] += heater.ash_s_kg * loaded
        if heater.law != ROOM_THERMOSTAT:
            if lit < 0.5:
                total[at.FIRES] += 1.0
                total[at.LIGHT_S] += heater.light_s
            lit = 1.0
    else:
        total[at.LOOK_S] += LOOK_S
    total[at.VISITS] += 1.0
    if alarm:
        total[at.WAKEUPS] += 1.0
        total[at.NIGHT_S] += heater.night_s
    after = Fire(fire.fuel_kg + loaded, todo.setting_w, lit, fire.hard)
    return Visit(after, loaded, 1.0, 1.0 if alarm else 0.0)
