"""KERNEL: one sub-step of the greenhouse's heat balance.

The air node exchanges heat with the outdoor air (covers, leaks, perimeter), with the slow
parts (soil layers, barrels, walls) and with the heater's store. Over a sub-step Δt everything
but temperatures is constant.

**Slow parts** are modes, each stepped by itself under the mean air of the sub-step
(`greenhouse_sim.season.modes`).

**Air** is fast, so it is solved exactly: what the slow parts send back is linear in the
mean air temperature, hence C·dT/dt = S − K·T with constant S and K, whose solution is

    T(Δt) = S/K + (T⁰ − S/K)·e,    e = exp(−K·Δt/C),
    mean  = S/K + (T⁰ − S/K)·(1 − e)·C/(K·Δt).

All fluxes use that mean, so energy closes to rounding: C·(T¹ − T⁰) = (S − K·mean)·Δt.
A controller (thermostat, vent) that wants T(Δt) = T* needs the extra heat
Q = (T* − T(Δt))·K/(1 − e), since T(Δt) is linear in Q.

Source: derived above.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from greenhouse_sim.exponential import exp
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

Hour = int | np.uint64
"""Place of an hour in the season's arrays."""


class Pace(NamedTuple):
    """How the air answers within a sub-step; constant while the conductances are."""

    pull: float
    """K, W/K."""
    per_pull: float
    """1/K, K/W."""
    decay: float
    """e."""
    gain: float
    """Kelvin at the end for each W."""
    per_gain: float
    """Its reciprocal, W/K."""
    lag: float
    """(1 − e)·C/(K·Δt): weight of the start in the mean."""


class Control(NamedTuple):
    """What holds the air through the season."""

    steps_per_c: float
    """Δt over the air's heat capacity, K/W."""
    c_per_step: float
    """Its reciprocal, W/K."""
    heat_share: float
    """Share of the heater's heat that acts on the air within the sub-step."""
    per_heat_share: float
    backup_hold: float
    vent_at: float
    vent_w_k: float
    ideal_cooling: float


class Air(NamedTuple):
    """What happened to the air in a sub-step."""

    end: float
    """Temperature at the end, °C."""
    mean: float
    """Mean temperature, °C."""
    heat_w: float
    """Controlled heat of the heater, W (air and floor together)."""
    backup_w: float
    """Heat of the back-up, W."""
    vent_w: float
    """Heat vented or cooled away, W."""


def modes_send(table: Array) -> float:
    """Heat that the modes' states send to the air in the coming sub-step, W."""
    sent = 0.0
    for i in range(table.shape[0]):
        sent += table[i, SENDS] * table[i, LEVEL]
    return sent


def modes_step(table: Array, into: Array, h: Hour, mean: float, floor_w: float) -> float:
    """Step the modes with the air's mean known; return what they send next (`modes_send`).

    ``into[h]`` is what sun and boundaries add to each in a sub-step of this hour.
    """
    sent = 0.0
    for i in range(table.shape[0]):
        level = table[i, LEVEL]
        table[i, LEVEL_SUM] += level
        came = table[i, FROM_AIR] * mean + into[h, i] + table[i, FROM_FLOOR] * floor_w
        level = table[i, KEEP] * level + came
        table[i, LEVEL] = level
        sent += table[i, SENDS] * level
    return sent


def crop_mean(table: Array, into: Array, h: Hour, mean: float, floor_w: float) -> float:
    """Mean of the crop's own air over the sub-step before `modes_step`, °C."""
    crop = 0.0
    for i in range(table.shape[0]):
        came = table[i, FROM_AIR] * mean + into[h, i] + table[i, FROM_FLOOR] * floor_w
        crop += table[i, CROP_KEEP] * table[i, LEVEL] + table[i, CROP_GAIN] * came
    return crop


def soil_now(table: Array, soil: Array) -> float:
    """Temperature of the first layer of soil, °C."""
    found = 0.0
    for i in range(table.shape[0]):
        found += soil[i] * table[i, LEVEL]
    return found


def pace(pull_w_k: float, steps_per_c: float, c_per_step: float) -> Pace:
    """The air's response for the present conductances, with Δt/C (K/W) and C/Δt (W/K)."""
    per_pull = 1.0 / pull_w_k
    gone = 1.0 - exp(-pull_w_k * steps_per_c)
    gain = gone * per_pull
    return Pace(pull_w_k, per_pull, 1.0 - gone, gain, pull_w_k / gone, gain * c_per_step)


def air_step(
    start: float,
    push_w: float,
    pace_now: Pace,
    control: Control,
    heat_most: float,
    hold: float,
    backup_most: float,
    t_out: float,
) -> Air:
    """Solve the air for one sub-step, with heater, back-up and vents under control.

    ``push_w`` − pull·T is the uncontrolled heat into the air. The heater gives up to
    ``heat_most`` W to hold ``hold``; control.heat_share of it acts now.
    """
    push = push_w
    end = push * pace_now.gain + start * pace_now.decay
    heat = 0.0
    if heat_most > 0.0:
        wanted = (hold - end) * pace_now.per_gain * control.per_heat_share
        heat = min(max(wanted, 0.0), heat_most)
        push += heat * control.heat_share
        end = push * pace_now.gain + start * pace_now.decay
    backup = 0.0
    if backup_most > 0.0 and end < control.backup_hold:
        backup = min((control.backup_hold - end) * pace_now.per_gain, backup_most)
        push += backup
        end = push * pace_now.gain + start * pace_now.decay
    if end > control.vent_at:
        return vented(start, push, end, pace_now, control, heat, backup, t_out)
    level = push * pace_now.per_pull
    mean = level + (start - level) * pace_now.lag
    return Air(end, mean, heat, backup, 0.0)


def vented(
    start: float,
    push: float,
    end: float,
    pace_now: Pace,
    control: Control,
    heat: float,
    backup: float,
    t_out: float,
) -> Air:
    """The same with vents: open just enough to hold their temperature, or wide open."""
    vent = (end - control.vent_at) * pace_now.per_gain
    level = (push - vent) * pace_now.per_pull
    mean = level + (start - level) * pace_now.lag
    if control.ideal_cooling > 0.5 or vent <= control.vent_w_k * (mean - t_out):
        return Air(control.vent_at, mean, heat, backup, vent)
    level = push * pace_now.per_pull
    mean = level + (start - level) * pace_now.lag
    if mean <= t_out:
        return Air(end, mean, heat, backup, 0.0)
    wide = pace(pace_now.pull + control.vent_w_k, control.steps_per_c, control.c_per_step)
    level = (push + control.vent_w_k * t_out) * wide.per_pull
    end = level + (start - level) * wide.decay
    mean = level + (start - level) * wide.lag
    return Air(end, mean, heat, backup, control.vent_w_k * (mean - t_out))
