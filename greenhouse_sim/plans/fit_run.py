"""The simulated air of a log's hours, for any factors on loss, leaks, capacity, soil and sun.

The season's own loop runs through the hours of the log, with nobody there: the heat is what was
noted. A column of heat is sent to air and floor as the scenario's heater throws it, but where a
thermostat gave it (`fit_thermostat`) another gives what it asks for; where loads are noted, each is
put on the fire at its hour (`fit_fire` says how it burns between them). Vapour is worked out from
the air that was measured.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

import numpy as np

from greenhouse_sim.greenhouse.ground import middles_m
from greenhouse_sim.greenhouse.house import build_house
from greenhouse_sim.greenhouse.numbers import Drive, House
from greenhouse_sim.greenhouse.warm_up import has_soil
from greenhouse_sim.heater.backup import backup_numbers
from greenhouse_sim.heater.numbers import Heater
from greenhouse_sim.plans.fit_fire import first_fuel
from greenhouse_sim.plans.fit_model import Model, bridged
from greenhouse_sim.plans.heat_given import walk_with
from greenhouse_sim.season import numbers as now
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.damp import Line, with_vapour
from greenhouse_sim.season.modes import Walk, walk_of

Array = np.ndarray
AIR, HEAT, VENT = (at.TRACE.index(name) for name in ("air_C", "heater_W", "vent_W"))
SOIL_REACH_M = 0.5
"""Depth at which the correction of the soil's first temperature has fallen to 1/e (judgement)."""


def with_soil(model: Model, factor: float) -> House:
    """The house with this factor on its soil's conductivity."""
    if factor == 1.0:
        return model.house
    green = model.scenario.greenhouse
    floor = green.floor.model_copy(update={"conductivity": green.floor.conductivity * factor})
    changed = model.scenario.model_copy(
        update={"greenhouse": green.model_copy(update={"floor": floor})}
    )
    place = {"elevation_m": model.weather.elevation_m, "latitude": model.weather.latitude}
    built = build_house(changed, model.ground.under.mean_C, **place)
    return built._replace(node_start=model.house.node_start)


def house_of(model: Model, factors: Mapping[str, float], soil_start_K: float) -> House:
    """The house with these factors, its soil warmer at first by so much at the surface."""
    house = with_soil(model, factors["soil"])
    start = house.node_start.copy()
    if has_soil(house):
        depth = middles_m()
        stop = int(house.chain_start[1])
        start[stop - len(depth) : stop] += soil_start_K * np.exp(-depth / SOIL_REACH_M)
    return house._replace(
        air_c=house.air_c * factors["capacity"],
        leak_w_k=house.leak_w_k * factors["leak"],
        node_start=start,
    )


def drive_of(drive: Drive, factors: Mapping[str, float]) -> Drive:
    """The hours with these factors."""
    loss, sun = factors["loss"], factors["sun"]
    return drive._replace(
        loss_w_k=drive.loss_w_k * loss,
        sky_w=drive.sky_w * loss,
        sun_air_w=drive.sun_air_w * sun,
        sun_floor_w=drive.sun_floor_w * sun,
        sun_mass_w=drive.sun_mass_w * sun,
        sun_latent_w=drive.sun_latent_w * sun,
    )


def run(
    model: Model,
    factors: Mapping[str, float],
    soil_start_K: float,
    vent_W: Array,
    sensor_K: float = 0.0,
) -> Array:
    """The trace of the log's hours, shape (hours, tally.TRACE_SIZE).

    Parameters
    ----------
    model
        See `build`.
    factors
        On loss, leak, capacity, soil, sun and efficiency.
    soil_start_K
        What the soil is warmer by at first than the model's.
    vent_W
        Heat carried by vents, W, shape (hours,): how fast vapour leaves.
    sensor_K
        What the logger reads too much: a thermostat that the model has held by so much less.
    """
    house, drive = house_of(model, factors, soil_start_K), drive_of(model.drive, factors)
    walk = walk_of(house, drive)
    if model.moisture.vapour.volume_m3 > 0.0:
        takes_w = vapour_takes(model, house, drive, vent_W)
        walk = with_vapour(walk, drive, Line(takes_w, np.zeros_like(takes_w)))
    if model.log.heat_W is not None:
        heat_W = bridged(model.log.heat_W)
        setpoint = walk.hours.setpoint
        if model.hold is not None:
            heat_W = np.where(model.hold.at_work, 0.0, heat_W)
            if model.hold.draws_W is not None:
                heat_W = heat_W - model.hold.draws_W
            setpoint = model.hold.setpoint_C - sensor_K
        walk = walk_with(walk, heat_W, model.heater.floor_share)
        walk = walk._replace(hours=walk.hours._replace(setpoint=setpoint))
    e = factors["efficiency"]
    heater = model.heater._replace(
        efficiency_max=model.heater.efficiency_max * e,
        efficiency_min=model.heater.efficiency_min * e,
        efficiency_slope=model.heater.efficiency_slope * e,
    )
    trace = _walked(model, walk, heater)
    if model.hold is not None and model.hold.draws_W is not None:
        trace[:, HEAT] -= model.hold.draws_W
    return trace


def _walked(model: Model, walk: Walk, heater: Heater) -> Array:
    """Walk the hours, from load to load."""
    hours = walk.hours.t_out.shape[0]
    state = np.zeros(now.STATE_SIZE)
    state[now.AIR] = _first_air(model.log.indoor_C)
    state[now.SETTING] = heater.burn_min_w
    state[now.PILE] = np.inf
    state[[now.CORE, now.SKIN]] = heater.store_start
    table = walk.slow.modes.table.copy()
    total, month_kg = at.empty(), np.zeros(at.MONTHS)
    trace = np.zeros((hours, at.TRACE_SIZE))
    backup = backup_numbers()
    if model.fires:
        state[now.FUEL], state[now.LIT] = first_fuel(heater), 1.0
    fires = {one.hour: one for one in model.fires}
    for first, last in pairwise(sorted({0, hours, *fires})):
        if first in fires:
            state[now.FUEL] += fires[first].kg
            state[now.SETTING] = fires[first].setting_w
            state[now.LIT] = 1.0 if state[now.FUEL] > 0.0 else 0.0
        model.walk_hours(
            walk.house, walk.slow.modes, walk.hours, model.calendar, model.habits, heater, backup,
            first, last, state, table, total, month_kg, trace[first:last],
        )  # fmt: skip
    return trace


def _first_air(indoor_C: Array) -> float:
    return float(indoor_C[np.flatnonzero(~np.isnan(indoor_C))[0]])


def vapour_takes(model: Model, house: House, drive: Drive, vent_W: Array) -> Array:
    """Heat that vapour takes in the air that was measured, W, shape (hours,)."""
    out = np.zeros((len(vent_W), 3))
    model.walk_vapour(
        model.moisture.vapour, house, drive.t_out, drive.loss_w_k, drive.sky_w, drive.leak_wind,
        drive.sun_latent_w, model.moisture.outdoor, model.air_C, vent_W, out,
    )  # fmt: skip
    return out[:, 0]
