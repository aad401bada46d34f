"""KERNEL: walk the winter hour by hour: decide, burn, store, balance, tally."""

from __future__ import annotations

import math

import numpy as np

from greenhouse_sim.greenhouse.numbers import House
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
from greenhouse_sim.season import numbers as now
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.balance import (
    Control,
    air_step,
    crop_mean,
    modes_send,
    modes_step,
    pace,
    soil_now,
)
from greenhouse_sim.season.count import count_backup, count_damage, count_heater
from greenhouse_sim.season.heating import (
    cause_of_cold,
    controlled,
    flat_out,
    ignitions,
    running_share,
    uncontrolled,
)
from greenhouse_sim.season.numbers import Hours, Modes
from greenhouse_sim.season.visit import visit, wakes
from greenhouse_sim.substep import PER_STEP_S, STEP_S, SUB_STEPS

Array = np.ndarray

COLD_BAND_K = 0.5
"""An hour is cold when its mean air is more than this under the setpoint in force."""
SKIN_MOVED_K = 10.0
CHARGE_MOVED = 0.02
"""A store's conductance is taken anew each hour, and within it when its skin has moved by so
many kelvin or its charge by this share of the most."""
PER_SUB_STEP = 1.0 / SUB_STEPS
BY_ALARM = 1.5
"""A chance over this is an alarm clock's: the grower sleeps and gets up for it."""


def season(
    house: House,
    modes: Modes,
    hours: Hours,
    calendar: Calendar,
    habits: Habits,
    heater: Heater,
    backup: Backup,
    first: int,
    last: int,
    state: Array,
    table: Array,
    total: Array,
    month_kg: Array,
    trace: Array,
) -> None:
    """Run the hours ``first`` to ``last`` of a season.

    Parameters
    ----------
    house, modes, hours, calendar, habits, heater, backup
        The season's numbers, see their classes.
    first, last
        Hours to run, the last not included.
    state
        float64, shape (numbers.STATE_SIZE,): where it starts, and afterwards where it ended.
    table
        float64, shape (modes, numbers.COLUMNS): the modes' own state, stepped in place.
    total
        float64, shape (tally.SIZE,): the tally, added to (`tally.empty`).
    month_kg
        float64, shape (tally.MONTHS,): fuel burnt by month, the season's first month first.
    trace
        float64, shape (last − first, tally.TRACE_SIZE) for an hourly trace, or without rows.
    """
    traced = trace.shape[0] > 0
    # arrays as plain locals: the loop must not unpack bundles
    into_modes = hours.into_modes
    t_out_h = hours.t_out
    pull_w_k_h = hours.pull_w_k
    vapour_w_k_h = hours.vapour_w_k
    push_w_h = hours.push_w
    leak_wind_h = hours.leak_wind
    setpoint_h = hours.setpoint
    chance_h = calendar.chance
    asleep_h = calendar.asleep
    gap_h = calendar.gap_h
    night_h = calendar.night
    power_h = calendar.power
    month_h = calendar.month
    need_sum_j = hours.need_sum_j
    has_store = heater.store_c > 0.0
    by_room = heater.law == ROOM_THERMOSTAT or heater.law == IDEAL
    covered = house.crop_covered > 0.5
    heat_share = 1.0 - heater.floor_share * (1.0 - modes.heat_to_air)
    air_t = state[now.AIR]
    fire = Fire(state[now.FUEL], state[now.SETTING], state[now.LIT], state[now.HARD])
    store = Store(state[now.CORE], state[now.SKIN], state[now.DRY])
    pile_kg = state[now.PILE]
    taken_w = state[now.TAKEN]
    since_woken_h = state[now.SINCE_WOKEN]
    watched_h = state[now.WATCHED]
    begun = store
    release = no_release()
    released = 0.0
    control = Control(
        STEP_S / house.air_c,
        house.air_c / STEP_S,
        heat_share,
        1.0 / heat_share,
        backup.starts_below,
        house.vent_at,
        house.vent_w_k,
        house.ideal_cooling,
    )
    pace_now = pace(modes.air_w_k + 1.0, control.steps_per_c, control.c_per_step)
    sent_w = modes_send(table)
    last_night_woken = -1.0
    last_night_hurt = -1.0
    sleep_h = 0.0
    damage_run_h = 0.0
    lowest_air = total[at.LOWEST_AIR]
    # the season's sums, W
    heat_all = 0.0
    fuel_all = 0.0
    useful_all = 0.0
    backup_all = 0.0
    vent_all = 0.0
    outdoors_all = 0.0
    dumped_all = 0.0
    pump_all = 0.0
    burning_all = 0.0
    air_all = 0.0
    floor_all = 0.0
    pull_all = 0.0
    vapour_all = 0.0
    leak_all = 0.0
    lights_all = 0.0

    for h in range(first, last):
        # an index that cannot be negative is not asked whether it counts from the end
        now_h = np.uint64(h)
        t_out = t_out_h[now_h]
        hold = setpoint_h[now_h]
        power = power_h[now_h]
        since_woken_h += 1.0

        asleep = asleep_h[now_h] > 0.5
        if h % 24 == 0:
            watched_h = 0.0
        patient = heater.watch_share <= 0.0 or watched_h < habits.stays_by_h
        burns = heater.needs_power < 0.5 or power > 0.5
        tends = heater.hand_fed > 0.5 and patient and burns

        # -- the hour's loss coefficients
        leak_w_k = house.leak_w_k * math.sqrt(
            leak_wind_h[now_h] + house.leak_stack * abs(air_t - t_out)
        )
        open_w_k = pull_w_k_h[now_h] + leak_w_k
        if not has_store:
            pace_now = pace(open_w_k, control.steps_per_c, control.c_per_step)
        backup_most = backup.max_w if (power > 0.5 or backup.needs_power < 0.5) else 0.0
        fixed_w = push_w_h[now_h] + leak_w_k * t_out

        air_sum = 0.0
        crop_sum = 0.0
        heat_sum = 0.0
        backup_sum = 0.0
        vent_sum = 0.0
        fuel_sum = 0.0
        burning = 0.0
        most_sum = 0.0
        loaded_sum = 0.0
        woken_sum = 0.0
        visit_sum = 0.0
        for k in range(SUB_STEPS):
            # -- the grower: at the stroke of the hour when about, by an alarm when asleep
            called = k == 0 and chance_h[now_h] > 0.5
            alarm = asleep and tends and wakes(habits, heater, air_t, since_woken_h, power)
            alarm = alarm or (called and tends and chance_h[now_h] > BY_ALARM)
            if alarm or (tends and called):
                todo = plan(
                    heater,
                    habits,
                    need_sum_j,
                    h,
                    gap_h[now_h],
                    house.quick_c,
                    hold,
                    air_t,
                    t_out,
                    fire.fuel_kg,
                    fire.setting_w,
                    fire.lit,
                    store.core,
                )
                done = visit(heater, fire, todo, pile_kg, alarm, total)
                fire = done.fire
                pile_kg -= done.loaded_kg
                loaded_sum += done.loaded_kg
                woken_sum += done.woken
                visit_sum += done.made
                if done.woken > 0.5:
                    since_woken_h = 0.0
                    if night_h[now_h] != last_night_woken:
                        total[at.NIGHTS_WOKEN] += 1.0
                        last_night_woken = night_h[now_h]

            if heater.law == IDEAL and air_t < hold:
                # as much heat as needed, at once: a setpoint that steps up is met at its stroke
                jump_w = house.air_c * (hold - air_t) * PER_STEP_S
                heat_sum += jump_w
                fuel_sum += jump_w
                useful_all += jump_w
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
            push = fixed_w + sent_w + given.direct_w * heat_share
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
            air = air_step(air_t, push, pace_now, control, most, hold, backup_most, t_out)
            passive_w = released - release.pull_w_k * air.mean
            floor_w = heater.floor_share * (given.direct_w + air.heat_w + passive_w)
            if covered:
                crop_sum += crop_mean(table, into_modes, now_h, air.mean, floor_w)
            sent_w = modes_step(table, into_modes, now_h, air.mean, floor_w)
            air_t = air.end
            floor_all += floor_w

            # -- the heater after the sub-step
            delivered = given.direct_w + air.heat_w
            if has_store:
                pipe = pipe_loss(heater, store, hours.t_ground[now_h], air.heat_w, most)
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
                outdoors_all += stored.outdoors_w + pipe
                dumped_all += stored.over_limit_w
                if most > 0.0:
                    pump_all += air.heat_w / most
                useful_all += given.direct_w + given.charge_w
            else:
                useful_all += delivered
                if heater.law == IDEAL:
                    fuel_w = air.heat_w
                elif heater.law == ROOM_THERMOSTAT:
                    fuel_w = fuel_power_for(heater, air.heat_w)
                    lights_all += ignitions(heater, fire, fuel_w)
                    steady = 1.0 if fuel_w >= heater.burn_min_w and fuel_w > 0.0 else 0.0
                    fire = Fire(fire.fuel_kg, fire.setting_w, 1.0, steady)
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
        mean = air_sum * PER_SUB_STEP
        air_all += air_sum
        pull_all += pull_w_k_h[now_h] * mean
        vapour_all += vapour_w_k_h[now_h] * mean
        leak_all += leak_w_k * (mean - t_out)
        heat_all += heat_sum
        fuel_all += fuel_sum
        backup_all += backup_sum
        burning_all += burning
        watched_h += heater.watch_share * burning * PER_SUB_STEP
        fuel_kg = fuel_sum * STEP_S * heater.kg_per_j
        month_kg[int(month_h[now_h])] += fuel_kg
        vent_all += vent_sum
        if vent_sum > 0.0:
            total[at.VENT_H] += 1.0
        total[at.HIGHEST_STORE] = max(total[at.HIGHEST_STORE], store.core)
        total[at.HOTTEST_AIR] = max(total[at.HOTTEST_AIR], mean)
        if mean < lowest_air:
            lowest_air = mean
            total[at.LOWEST_HOUR] = float(h)
        cause = 0
        if mean < hold - COLD_BAND_K:
            cause = cause_of_cold(
                heater,
                fire,
                most_sum * PER_SUB_STEP,
                visit_sum > 0.5 and fire.setting_w >= heater.burn_max_w,
                power,
                calendar.away[now_h],
                asleep_h[now_h],
                pile_kg,
            )
            total[at.COLD_H] += 1.0
            total[at.COLD_DEGREE_H] += hold - mean
            total[cause] += 1.0
        crop_t = crop_sum * PER_SUB_STEP if covered else mean
        hurt = crop_t < house.damage_below
        damage_run_h = damage_run_h + 1.0 if hurt else 0.0
        count_damage(total, h, damage_run_h, crop_t, mean)
        if hurt and night_h[now_h] >= 0.0 and night_h[now_h] != last_night_hurt:
            total[at.DAMAGE_NIGHTS] += 1.0
            last_night_hurt = night_h[now_h]
        if traced:
            row = h - first
            trace[row, 0] = mean
            trace[row, 1] = heat_sum * PER_SUB_STEP
            trace[row, 2] = backup_sum * PER_SUB_STEP
            trace[row, 3] = fuel_kg
            trace[row, 4] = loaded_sum
            trace[row, 5] = woken_sum
            trace[row, 6] = store.core
            trace[row, 7] = soil_now(table, modes.soil)
            trace[row, 8] = vent_sum * PER_SUB_STEP
            trace[row, 9] = float(cause)
            trace[row, 10] = visit_sum
            trace[row, 11] = fire.fuel_kg
            trace[row, 12] = crop_t

    total[at.LOWEST_AIR] = lowest_air
    total[at.AIR_SUM] += air_all
    total[at.PULL_SUM] += pull_all
    total[at.VAPOUR_SUM] += vapour_all
    total[at.FLOOR_SUM] += floor_all
    total[at.LEAK_J] += leak_all * 3600.0
    total[at.VENT_J] += vent_all * STEP_S
    total[at.OUTDOORS_J] += outdoors_all * STEP_S
    total[at.DUMPED_J] += dumped_all * STEP_S
    count_heater(total, heater, heat_all, fuel_all, useful_all, burning_all, pump_all, lights_all)
    count_backup(total, backup, backup_all)
    total[at.STORE_CHANGE_J] += heater.store_c * (store.core - begun.core)
    total[at.STORE_CHANGE_J] += heater.skin_c * (store.skin - begun.skin)
    total[at.DECAYED_KG] += begun.dry_kg - store.dry_kg
    total[at.FUEL_LEFT_KG] = fire.fuel_kg
    state[now.AIR] = air_t
    state[now.FUEL] = fire.fuel_kg
    state[now.SETTING] = fire.setting_w
    state[now.LIT] = fire.lit
    state[now.HARD] = fire.hard
    state[now.CORE] = store.core
    state[now.SKIN] = store.skin
    state[now.DRY] = store.dry_kg
    state[now.PILE] = pile_kg
    state[now.TAKEN] = taken_w
    state[now.SINCE_WOKEN] = since_woken_h
    state[now.WATCHED] = watched_h
