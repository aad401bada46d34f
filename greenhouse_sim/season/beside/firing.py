"""KERNEL: what the fire of every lane gives in a sub-step, and what its store releases."""

from __future__ import annotations

from greenhouse_sim.heater.burn import Fire, fires_hard
from greenhouse_sim.heater.numbers import (
    DECAY,
    FULL_BURN,
    IDEAL,
    ROOM_THERMOSTAT,
    SET_AND_LEAVE,
    STORE_THERMOSTAT,
)
from greenhouse_sim.heater.store import coil_most, release_push, store_release
from greenhouse_sim.season.balance import pace
from greenhouse_sim.season.beside import lanes as row
from greenhouse_sim.season.beside.lanes import (
    NO_STORE,
    ONE_NODE,
    fire_at,
    heater_at,
    pace_at,
    put_fire,
    put_pace,
    put_release,
    release_at,
    store_at,
)
from greenhouse_sim.season.heating import controlled, uncontrolled
from greenhouse_sim.season.hour import CHARGE_MOVED, SKIN_MOVED_K
from greenhouse_sim.season.numbers import Array
from greenhouse_sim.substep import PER_STEP_S


def jump(work: Array, n: int) -> None:
    """As much heat as needed, at once: a setpoint that steps up is met at its stroke."""
    for lane in range(n):
        air_t, hold = work[row.AIR + lane], work[row.HOLD + lane]
        jump_w = work[row.AIR_C + lane] * max(hold - air_t, 0.0) * PER_STEP_S
        work[row.HEAT_SUM + lane] += jump_w
        work[row.FUEL_SUM + lane] += jump_w
        work[row.USEFUL_ALL + lane] += jump_w
        work[row.AIR + lane] = max(air_t, hold)


def burn(work: Array, n: int, law: float) -> None:
    """The fires, by their law: each its own loop, in which the law is no question."""
    if law == SET_AND_LEAVE:
        burn_by(work, n, SET_AND_LEAVE)
    elif law == ROOM_THERMOSTAT:
        burn_by(work, n, ROOM_THERMOSTAT)
    elif law == STORE_THERMOSTAT:
        burn_by(work, n, STORE_THERMOSTAT)
    elif law == FULL_BURN:
        burn_by(work, n, FULL_BURN)
    elif law == DECAY:
        burn_by(work, n, DECAY)
    else:
        burn_by(work, n, IDEAL)


def burn_by(work: Array, n: int, law: float) -> None:
    """What the fires give in this sub-step before the air is known."""
    for lane in range(n):
        heater, fire, store = heater_at(work, lane, law), fire_at(work, lane), store_at(work, lane)
        power = work[row.POWER + lane]
        if law == STORE_THERMOSTAT:
            hard = fires_hard(heater, fire.hard, store.core)
            if heater.needs_power > 0.5 and power < 0.5:
                hard = 0.0
            fire = Fire(fire.fuel_kg, fire.setting_w, fire.lit, hard)
            put_fire(work, lane, fire)
        if law in (ROOM_THERMOSTAT, IDEAL):
            given = controlled(heater, fire, power)
        else:
            given = uncontrolled(heater, fire, store, work[row.TAKEN + lane], power)
        work[row.FUEL_W + lane] = given.fuel_w
        work[row.DIRECT_W + lane] = given.direct_w
        work[row.CHARGE_W + lane] = given.charge_w
        work[row.MOST_W + lane] = given.most_w


def release(work: Array, n: int, store: int, law: float, first_step: bool) -> None:
    """What the stores send to the air, and most that their coils could."""
    if store == NO_STORE:
        return
    if first_step or moved(work, n) > 0:
        if store == ONE_NODE:
            release_anew(work, n, law, False, first_step)
        else:
            release_anew(work, n, law, True, first_step)
    if store == ONE_NODE:
        send(work, n, law, False)
    else:
        send(work, n, law, True)


def moved(work: Array, n: int) -> int:
    """How many stores have moved since their conductance was taken."""
    some = 0
    for lane in range(n):
        if has_moved(work, lane):
            some += 1
    return some


def has_moved(work: Array, lane: int) -> bool:
    """Whether the store of a lane has moved since its conductance was taken."""
    skin_k = abs(work[row.SKIN + lane] - work[row.SKIN_AT + lane])
    charge_w = abs(work[row.CHARGE_W + lane] - work[row.CHARGE_AT + lane])
    return skin_k > SKIN_MOVED_K or charge_w > CHARGE_MOVED * work[row.BURN_MAX + lane]


def release_anew(work: Array, n: int, law: float, skin: bool, every: bool) -> None:
    """Eliminate the stores anew: of every lane, or of those that have moved."""
    for lane in range(n):
        heater = heater_at(work, lane, law, skin)
        had, had_pace = release_at(work, lane), pace_at(work, lane)
        new = store_release(
            heater,
            store_at(work, lane),
            work[row.CHARGE_W + lane],
            work[row.AIR + lane],
            work[row.T_OUT + lane],
        )
        pull_w_k = work[row.OPEN + lane] + new.pull_w_k * work[row.HEAT_SHARE + lane]
        new_pace = pace(pull_w_k, work[row.STEPS_PER_C + lane], work[row.C_PER_STEP + lane])
        due = every or has_moved(work, lane)
        put_release(work, lane, new if due else had)
        put_pace(work, lane, new_pace if due else had_pace)


def send(work: Array, n: int, law: float, skin: bool) -> None:
    """What the stores send to air at 0 °C, and most that their coils could carry."""
    for lane in range(n):
        heater, store = heater_at(work, lane, law, skin), store_at(work, lane)
        work[row.RELEASED + lane] = release_push(
            heater,
            store,
            release_at(work, lane),
            work[row.CHARGE_W + lane],
            work[row.T_OUT + lane],
        )
        work[row.MOST_W + lane] = coil_most(
            heater, store, work[row.AIR + lane], work[row.POWER + lane]
        )
