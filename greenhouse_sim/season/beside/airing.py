"""KERNEL: the balance of every lane in a sub-step: the air, then the slow parts."""

from __future__ import annotations

import math

from greenhouse_sim.season.balance import Control, air_step
from greenhouse_sim.season.beside import lanes as row
from greenhouse_sim.season.beside.lanes import INTO, LANES, NO_STORE, control_at, pace_at
from greenhouse_sim.season.numbers import (
    CROP_GAIN,
    CROP_KEEP,
    FROM_AIR,
    FROM_FLOOR,
    KEEP,
    LEVEL,
    LEVEL_SUM,
    SENDS,
    Array,
)


def balance(work: Array, n: int, store: int) -> None:
    """The air, with vents only where some would open: most sub-steps of a winter are calm."""
    solve_air(work, n, store, False)
    some = 0
    for lane in range(n):
        if work[row.END + lane] > work[row.VENT_AT + lane]:
            some += 1
    if some > 0:
        solve_air(work, n, store, True)


def solve_air(work: Array, n: int, store: int, vents: bool) -> None:
    """Solve the air of every lane, under control, and what of its heat falls on the floor."""
    for lane in range(n):
        control = control_at(work, lane)
        if not vents:
            control = shut(control)
        share = control.heat_share
        direct_w = work[row.DIRECT_W + lane]
        push = work[row.FIXED + lane] + work[row.SENT + lane] + direct_w * share
        released = 0.0
        if store != NO_STORE:
            released = work[row.RELEASED + lane]
            push += released * share
        air = air_step(
            work[row.AIR + lane],
            push,
            pace_at(work, lane),
            control,
            work[row.MOST_W + lane],
            work[row.HOLD + lane],
            work[row.BACKUP_MOST + lane],
            work[row.T_OUT + lane],
        )
        passive_w = 0.0
        if store != NO_STORE:
            passive_w = released - work[row.RELEASE_PULL + lane] * air.mean
        work[row.END + lane] = air.end
        work[row.MEAN + lane] = air.mean
        work[row.HEAT_W + lane] = air.heat_w
        work[row.BACKUP_W + lane] = air.backup_w
        work[row.VENT_W + lane] = air.vent_w
        floor_w = work[row.FLOOR_SHARE + lane] * (direct_w + air.heat_w + passive_w)
        work[row.FLOOR_W + lane] = floor_w


def shut(control: Control) -> Control:
    """The same with vents that never open."""
    return Control(
        control.steps_per_c,
        control.c_per_step,
        control.heat_share,
        control.per_heat_share,
        control.backup_hold,
        math.inf,
        control.vent_w_k,
        control.ideal_cooling,
    )


def step_modes(work: Array, tab: Array, n: int, covered: bool) -> None:
    """Step the slow parts of every lane with the air's mean known; what they send next."""
    if covered:
        crop_means(work, tab, n)
    for lane in range(n):
        work[row.SENT + lane] = 0.0
    for i in range(tab.shape[0]):
        for lane in range(n):
            level = tab[i, LEVEL * LANES + lane]
            tab[i, LEVEL_SUM * LANES + lane] += level
            came = (
                tab[i, FROM_AIR * LANES + lane] * work[row.MEAN + lane]
                + tab[i, INTO + lane]
                + tab[i, FROM_FLOOR * LANES + lane] * work[row.FLOOR_W + lane]
            )
            level = tab[i, KEEP * LANES + lane] * level + came
            tab[i, LEVEL * LANES + lane] = level
            work[row.SENT + lane] += tab[i, SENDS * LANES + lane] * level


def crop_means(work: Array, tab: Array, n: int) -> None:
    """Mean of the crop's own air over the sub-step before `step_modes`, °C."""
    for lane in range(n):
        work[row.CROP + lane] = 0.0
    for i in range(tab.shape[0]):
        for lane in range(n):
            came = (
                tab[i, FROM_AIR * LANES + lane] * work[row.MEAN + lane]
                + tab[i, INTO + lane]
                + tab[i, FROM_FLOOR * LANES + lane] * work[row.FLOOR_W + lane]
            )
            held = tab[i, CROP_KEEP * LANES + lane] * tab[i, LEVEL * LANES + lane]
            work[row.CROP + lane] += held + tab[i, CROP_GAIN * LANES + lane] * came
    for lane in range(n):
        work[row.CROP_SUM + lane] += work[row.CROP + lane]
