"""KERNEL: the heater of every lane after a sub-step, and the sub-step's sums."""

from __future__ import annotations

from greenhouse_sim.heater.burn import Fire, after_burning, fuel_power_for
from greenhouse_sim.heater.numbers import DECAY, IDEAL, ROOM_THERMOSTAT, Heater
from greenhouse_sim.heater.store import pipe_loss, store_step
from greenhouse_sim.season.beside import lanes as row
from greenhouse_sim.season.beside.lanes import (
    NO_STORE,
    ONE_NODE,
    fire_at,
    heater_at,
    put_fire,
    put_store,
    release_at,
    store_at,
)
from greenhouse_sim.season.heating import flat_out, ignitions, running_share
from greenhouse_sim.season.numbers import Array
from greenhouse_sim.substep import STEP_S


def afterwards(work: Array, n: int, store: int, law: float) -> None:
    """The heaters after the sub-step, each kind in its own loop."""
    if store == ONE_NODE:
        stores_step(work, n, law, False)
    elif store != NO_STORE:
        stores_step(work, n, law, True)
    elif law == ROOM_THERMOSTAT:
        deliver(work, n, ROOM_THERMOSTAT)
    elif law == IDEAL:
        deliver(work, n, IDEAL)
    else:
        deliver(work, n, law)


def stores_step(work: Array, n: int, law: float, skin: bool) -> None:
    """Step the stores with the air's mean and the coil's draw known."""
    for lane in range(n):
        heater, fire, store = (
            heater_at(work, lane, law, skin),
            fire_at(work, lane),
            store_at(work, lane),
        )
        heat_w, most = work[row.HEAT_W + lane], work[row.MOST_W + lane]
        direct_w, charge_w = work[row.DIRECT_W + lane], work[row.CHARGE_W + lane]
        fuel_w, t_out = work[row.FUEL_W + lane], work[row.T_OUT + lane]
        pipe = pipe_loss(heater, store, work[row.T_GROUND + lane], heat_w, most)
        taken_w = heat_w + pipe
        dry = store.dry_kg
        if law == DECAY:
            dry -= fuel_w * STEP_S / heater.decay_j_kg
        stored = store_step(
            heater,
            store,
            release_at(work, lane),
            charge_w,
            work[row.MEAN + lane],
            taken_w,
            t_out,
            dry,
        )
        put_store(work, lane, stored.store)
        work[row.TAKEN + lane] = taken_w
        work[row.OUTDOORS_ALL + lane] += stored.outdoors_w + pipe
        work[row.DUMPED_ALL + lane] += stored.over_limit_w
        work[row.PUMP_ALL + lane] += heat_w / most if most > 0.0 else 0.0
        work[row.USEFUL_ALL + lane] += direct_w + charge_w
        fire = burnt(work, lane, heater, fire, fuel_w)
        add(work, lane, heater, fire, fuel_w, direct_w + heat_w + stored.to_air_w)


def deliver(work: Array, n: int, law: float) -> None:
    """Heaters without a store: what the room was given is what they burnt."""
    for lane in range(n):
        heater, fire = heater_at(work, lane, law), fire_at(work, lane)
        fuel_w = work[row.FUEL_W + lane]
        heat_w = work[row.HEAT_W + lane]
        delivered = work[row.DIRECT_W + lane] + heat_w
        work[row.USEFUL_ALL + lane] += delivered
        if law == IDEAL:
            fuel_w = heat_w
        elif law == ROOM_THERMOSTAT:
            fuel_w = fuel_power_for(heater, heat_w)
            work[row.LIGHTS_ALL + lane] += ignitions(heater, fire, fuel_w)
            steady = 1.0 if fuel_w >= heater.burn_min_w and fuel_w > 0.0 else 0.0
            fire = Fire(fire.fuel_kg, fire.setting_w, 1.0, steady)
        fire = burnt(work, lane, heater, fire, fuel_w)
        add(work, lane, heater, fire, fuel_w, delivered)


def burnt(work: Array, lane: int, heater: Heater, fire: Fire, fuel_w: float) -> Fire:
    """The fire of a lane after it has burnt at this fuel power; it is kept."""
    burns = fuel_w > 0.0
    running = running_share(heater, fuel_w)
    work[row.BURNING + lane] += running if burns else 0.0
    after = after_burning(heater, fire, fuel_w)
    if burns and heater.hand_fed > 0.5:
        fire = after
    put_fire(work, lane, fire)
    return fire


def add(
    work: Array, lane: int, heater: Heater, fire: Fire, fuel_w: float, delivered: float
) -> None:
    """Add a sub-step of a lane to the hour's sums."""
    mean, heat_w, most = (
        work[row.MEAN + lane],
        work[row.HEAT_W + lane],
        work[row.MOST_W + lane],
    )
    work[row.AIR + lane] = work[row.END + lane]
    work[row.FLOOR_ALL + lane] += work[row.FLOOR_W + lane]
    work[row.AIR_SUM + lane] += mean
    work[row.HEAT_SUM + lane] += delivered
    work[row.BACKUP_SUM + lane] += work[row.BACKUP_W + lane]
    work[row.VENT_SUM + lane] += work[row.VENT_W + lane]
    work[row.FUEL_SUM + lane] += fuel_w
    full = flat_out(heater, fire, fuel_w, heat_w, most)
    work[row.MOST_SUM + lane] += 1.0 if full else 0.0
