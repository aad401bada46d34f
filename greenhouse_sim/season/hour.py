"""KERNEL: walk the winter hour by hour: decide, burn, store, balance, tally."""

from __future__ import annotations

import math

import numpy as np

from greenhouse_sim.greenhouse.numbers import Drive, House
from greenhouse_sim.heater.burn import Fire, after_burning, fires_hard, fuel_power_for
from greenhouse_sim.heater.numbers import (
    DECAY,
    IDEAL,
    ROOM_THERMOSTAT,
    STORE_THERMOSTAT,
    Backup,
    Heater,
)
from greenhouse_sim.heater.store import (
    Store,
    coil_most,
    no_release,
    pipe_loss,
    release_push,
    store_release,
    store_step,
)
from greenhouse_sim.routine.decide import plan
from greenhouse_sim.routine.numbers import Calendar, Habits
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.balance import (
    SUM,
    TEMPERATURE,
    Control,
    air_step,
    chain_push,
    chain_sources,
    chain_step,
    eliminate,
    far_losses,
    pace,
)
from greenhouse_sim.season.count import (
    Sums,
    count_damage,
    count_energy,
    count_extremes,
    count_house,
)
from greenhouse_sim.season.heating import (
    cause_of_cold,
    controlled,
    flat_out,
    ignitions,
    running_share,
    uncontrolled,
)
from greenhouse_sim.season.visit import visit, wakes
from greenhouse_sim.substep import PER_STEP_S, STEP_S, SUB_STEPS

Array = np.ndarray

COLD_BAND_K = 0.5
"""An hour is cold when its mean air is more than this under the setpoint in force."""
SKIN_MOVED_K = 10.0
CHARGE_MOVED = 0.02
"""A store's conductance is taken anew each hour, and within it when its skin has moved by so
many kelvin or its charge by this share of the most."""


def season(
    house: House,
    drive: Drive,
    calendar: Calendar,
    habits: Habits,
    heater: Heater,
    backup: Backup,
    pile_kg: float,
    total: Array,
    month_kg: Array,
    trace: Array,
) -> None:
    """Run one season.

    Parameters
    ----------
    house, drive, calendar, habits, heater, backup
        The season's numbers, see their classes.
    pile_kg
        Fuel at hand for the whole season, kg; infinite where it is not limited.
    total
        float64, shape (tally.SIZE,), zeros: filled with the season's tally.
    month_kg
        float64, shape (tally.MONTHS,), zeros: fuel burnt by month, the season's first month first.
    trace
        float64, shape (hours, tally.TRACE_SIZE) for an hourly trace, or (0, tally.TRACE_SIZE).
    """
    hours = drive.t_out.shape[0]
    traced = trace.shape[0] > 0
    chains = eliminate(house, STEP_S)
    # arrays as plain locals: the loop must not unpack bundles
    nodes = chains.nodes
    soil_i = 1 if house.crop_covered > 0.5 else 0
    t_out_h = drive.t_out
    t_ground_h = drive.t_ground
    loss_w_k_h = drive.loss_w_k
    sky_w_h = drive.sky_w
    leak_wind_h = drive.leak_wind
    sun_air_w_h = drive.sun_air_w
    sun_floor_w_h = drive.sun_floor_w
    sun_mass_w_h = drive.sun_mass_w
    sun_latent_w_h = drive.sun_latent_w
    gain_w_h = drive.gain_w
    setpoint_h = drive.setpoint
    chance_h = calendar.chance
    asleep_h = calendar.asleep
    away_h = calendar.away
    gap_h = calendar.gap_h
    night_h = calendar.night
    power_h = calendar.power
    month_h = calendar.month
    need_sum_j = drive.need_sum_j
    has_store = heater.store_c > 0.0
    by_room = heater.law == ROOM_THERMOSTAT or heater.law == IDEAL
    heat_share = 1.0 - heater.floor_share * (1.0 - chains.heat_to_air)
    air_t = setpoint_h[0]
    fire = Fire(0.0, heater.burn_min_w, 0.0, 0.0)
    store = Store(heater.store_start, heater.store_start, heater.dry_kg * heater.decay_share)
    release = no_release()
    released = 0.0
    taken_w = 0.0
    control = Control(
        STEP_S / house.air_c,
        house.air_c / STEP_S,
        heat_share,
        backup.starts_below,
        house.vent_at,
        house.vent_w_k,
        house.ideal_cooling,
    )
    pace_now = pace(chains.air_w_k + 1.0, control.steps_per_c, control.c_per_step)
    since_woken_h = 1000.0
    last_night_woken = -1.0
    last_night_hurt = -1.0
    sleep_h = 0.0
    watched_h = 0.0
    damage_run_h = 0.0
    total[at.LOWEST_AIR] = 1000.0
    total[at.HOTTEST_AIR] = -1000.0
    total[at.HIGHEST_STORE] = -1000.0
    total[at.LOWEST_CROP] = 1000.0
    total[at.FIRST_DAMAGE_HOUR] = -1.0

    for h in range(hours):
        t_out = t_out_h[h]
        t_ground = t_ground_h[h]
        hold = setpoint_h[h]
        power = power_h[h]
        since_woken_h += 1.0

        asleep = asleep_h[h] > 0.5
        if h % 24 == 0:
            watched_h = 0.0
        patient = heater.watch_share <= 0.0 or watched_h < habits.stays_by_h
        burns = heater.needs_power < 0.5 or power > 0.5
        tends = heater.hand_fed > 0.5 and patient and burns

        # -- the hour's loss coefficients
        leak_w_k = house.leak_w_k * math.sqrt(
            leak_wind_h[h] + house.leak_stack * abs(air_t - t_out)
        )
        out_w_k = loss_w_k_h[h] + leak_w_k + house.edge_w_k
        open_w_k = out_w_k + chains.air_w_k
        sun_floor = sun_floor_w_h[h]
        sun_mass = sun_mass_w_h[h]
        if not has_store:
            pace_now = pace(open_w_k, control.steps_per_c, control.c_per_step)
        backup_most = backup.max_w if (power > 0.5 or backup.needs_power < 0.5) else 0.0
        chain_sources(nodes, t_out, t_ground, sun_floor, sun_mass)
        fixed_w = out_w_k * t_out + sun_air_w_h[h] + gain_w_h[h] - sky_w_h[h]

        air_sum = 0.0
        heat_sum = 0.0
        backup_sum = 0.0
        vent_sum = 0.0
        fuel_sum = 0.0
        stored_sum = 0.0
        flue_sum = 0.0
        outdoors_sum = 0.0
        dumped_sum = 0.0
        store_sum = 0.0
        electric_sum = 0.0
        burning = 0.0
        most_sum = 0.0
        loaded_sum = 0.0
        woken_sum = 0.0
        visit_sum = 0.0
        for k in range(SUB_STEPS):
            # -- the grower: at the stroke of the hour when about, by the alarm when asleep
            alarm = asleep and tends and wakes(habits, heater, air_t, since_woken_h, power)
            if alarm or (tends and k == 0 and chance_h[h] > 0.5):
                todo = plan(
                    heater,
                    habits,
                    need_sum_j,
                    h,
                    gap_h[h],
                    house.quick_c,
                    hold,
                    air_t,
                    t_out,
                    fire.fuel_kg,
                    fire.setting_w,
                    fire.lit,
                    store.core,
                )
                called = visit(heater, fire, todo, pile_kg, alarm, total)
                fire = called.fire
                pile_kg -= called.loaded_kg
                loaded_sum += called.loaded_kg
                woken_sum += called.woken
                visit_sum += called.made
                if called.woken > 0.5:
                    since_woken_h = 0.0
                    if night_h[h] != last_night_woken:
                        total[at.NIGHTS_WOKEN] += 1.0
                        last_night_woken = night_h[h]

            if heater.law == IDEAL and air_t < hold:
                # as much heat as needed, at once: a setpoint that steps up is met at its stroke
                jump_j = house.air_c * (hold - air_t)
                heat_sum += jump_j * PER_STEP_S
                fuel_sum += jump_j * PER_STEP_S
                stored_sum += jump_j
                air_t = hold
            # -- burn
            if heater.law == STORE_THERMOSTAT:
                hard = fires_hard(heater, fire.hard, store.core)
                if heater.needs_power > 0.5 and power < 0.5:
                    hard = 0.0
                fire = Fire(fire.fuel_kg, fire.setting_w, fire.lit, hard)
            if by_room:
                given = controlled(heater, fire, power)
            else:
                given = uncontrolled(heater, fire, store, taken_w, power)
            fuel_w = given.fuel_w

            # -- store and its release
            push = fixed_w + given.direct_w * heat_share
            most = given.most_w
            if has_store:
                if (
                    k == 0
                    or abs(store.skin - release.skin_at) > SKIN_MOVED_K
                    or abs(given.charge_w - release.charge_at) > CHARGE_MOVED * heater.burn_max_w
                ):
                    release = store_release(heater, store, given.charge_w, air_t, t_out)
                    pace_now = pace(
                        open_w_k + release.pull_w_k * heat_share,
                        control.steps_per_c,
                        control.c_per_step,
                    )
                released = release_push(heater, store, release, given.charge_w, t_out)
                push += released * heat_share
                most = coil_most(heater, store, air_t, power)

            # -- balance
            push += chain_push(nodes)
            air = air_step(air_t, push, pace_now, control, most, hold, backup_most, t_out)
            passive_w = released - release.pull_w_k * air.mean
            floor_w = heater.floor_share * (given.direct_w + air.heat_w + passive_w)
            stored_sum += house.air_c * (air.end - air_t) + chain_step(nodes, air.mean, floor_w)
            air_t = air.end

            # -- the heater after the sub-step
            delivered = given.direct_w + air.heat_w
            if has_store:
                pipe = pipe_loss(heater, store, t_ground, air.heat_w, most)
                taken_w = air.heat_w + pipe
                dry = store.dry_kg
                if heater.law == DECAY:
                    dry -= fuel_w * STEP_S / heater.decay_j_kg
                stored = store_step(
                    heater,
                    store,
                    release,
                    given.charge_w,
                    air.mean,
                    taken_w,
                    t_out,
                    dry,
                )
                store = stored.store
                delivered += stored.to_air_w
                outdoors_sum += stored.outdoors_w + pipe
                dumped_sum += stored.over_limit_w
                store_sum += stored.change_w
                if most > 0.0:
                    electric_sum += heater.pump_electric_w * air.heat_w / most
                useful = given.direct_w + given.charge_w
            else:
                useful = delivered
                if heater.law == IDEAL:
                    fuel_w = air.heat_w
                elif heater.law == ROOM_THERMOSTAT:
                    fuel_w = fuel_power_for(heater, air.heat_w)
                    lights = ignitions(heater, fire, fuel_w)
                    total[at.IGNITIONS] += lights
                    total[at.ELECTRIC_J] += lights * heater.ignition_j
                    steady = 1.0 if fuel_w >= heater.burn_min_w and fuel_w > 0.0 else 0.0
                    fire = Fire(fire.fuel_kg, fire.setting_w, 1.0, steady)
            flue_sum += fuel_w - useful
            if fuel_w > 0.0:
                burning += running_share(heater, fuel_w)
                if heater.hand_fed > 0.5:
                    fire = after_burning(heater, fire, fuel_w)

            # -- the sub-step's sums
            air_sum += air.mean
            heat_sum += delivered
            backup_sum += air.backup_w
            vent_sum += air.vent_w
            fuel_sum += fuel_w
            if flat_out(heater, fire, fuel_w, air.heat_w, most):
                most_sum += 1.0

        # -- the hour's tally
        if asleep:
            sleep_h = 0.0 if woken_sum > 0.5 else sleep_h + 1.0
            total[at.LONGEST_SLEEP_H] = max(total[at.LONGEST_SLEEP_H], sleep_h)
        else:
            sleep_h = 0.0
        mean = air_sum / SUB_STEPS
        far_out, far_ground = far_losses(nodes, t_out, t_ground, SUB_STEPS)
        to_ground = house.edge_w_k * (mean - t_out) + far_ground
        to_outdoors = loss_w_k_h[h] * (mean - t_out) + sky_w_h[h] + far_out
        sums = Sums(
            heat_sum,
            backup_sum,
            vent_sum,
            fuel_sum,
            flue_sum,
            outdoors_sum,
            dumped_sum,
            store_sum,
            electric_sum + heater.burn_electric_w * burning,
            burning,
            stored_sum,
        )
        watched_h += heater.watch_share * burning / SUB_STEPS
        fuel_kg = count_energy(total, heater, backup, sums)
        month_kg[int(month_h[h])] += fuel_kg
        latent = sun_latent_w_h[h]
        count_house(
            total,
            sun_air_w_h[h] + sun_floor + sun_mass + latent,
            gain_w_h[h],
            latent,
            to_outdoors,
            leak_w_k * (mean - t_out),
            to_ground,
        )
        count_extremes(total, h, mean, store.core)
        cause = 0
        if mean < hold - COLD_BAND_K:
            cause = cause_of_cold(
                heater,
                fire,
                most_sum / SUB_STEPS,
                visit_sum > 0.5 and fire.setting_w >= heater.burn_max_w,
                power,
                away_h[h],
                asleep_h[h],
                pile_kg,
            )
            total[at.COLD_H] += 1.0
            total[at.COLD_DEGREE_H] += hold - mean
            total[cause] += 1.0
        crop_t = mean
        if house.crop_covered > 0.5:
            crop_t = nodes[0, SUM] / SUB_STEPS
        hurt = crop_t < house.damage_below
        damage_run_h = damage_run_h + 1.0 if hurt else 0.0
        count_damage(total, h, damage_run_h, crop_t, mean)
        if hurt and night_h[h] >= 0.0 and night_h[h] != last_night_hurt:
            total[at.DAMAGE_NIGHTS] += 1.0
            last_night_hurt = night_h[h]
        if traced:
            trace[h, 0] = mean
            trace[h, 1] = heat_sum / SUB_STEPS
            trace[h, 2] = backup_sum / SUB_STEPS
            trace[h, 3] = fuel_kg
            trace[h, 4] = loaded_sum
            trace[h, 5] = woken_sum
            trace[h, 6] = store.core
            trace[h, 7] = nodes[soil_i, TEMPERATURE] if nodes.shape[0] > soil_i else 0.0
            trace[h, 12] = crop_t
            trace[h, 8] = vent_sum / SUB_STEPS
            trace[h, 9] = float(cause)
            trace[h, 10] = visit_sum
            trace[h, 11] = fire.fuel_kg
    total[at.FUEL_LEFT_KG] = fire.fuel_kg
    total[at.DECAYED_KG] = heater.dry_kg * heater.decay_share - store.dry_kg
