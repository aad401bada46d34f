"""KERNEL: what the grower does at the start of an hour.

Awake and at home they look in, tend before the fire runs out, and load for the
hours until the next chance (so the load at bedtime is the night's). Asleep they get
up only under their get-up rule. Away, nothing happens.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from greenhouse_sim.heater.numbers import Heater
    from greenhouse_sim.routine.numbers import Array, Habits

SET_AND_LEAVE = 1.0
ROOM_THERMOSTAT = 2.0
STORE_THERMOSTAT = 3.0
FULL_BURN = 4.0

WORTHWHILE = 0.05
"""Share of a full charge under which nobody bothers to load (common practice, no source)."""
FED_H = 12.0
"""Hours that an outdoor boiler's firebox is filled for: morning and evening (common practice)."""
STORED_H = 24.0
"""Hours that a fire into a store is meant for: one a day where it will do (common practice)."""
HALF = 0.5
"""Share of a full charge for which a store's fire is lit ahead of need; share of a stove's
lowest heat that must be wanted before it is fed."""
PER_HOUR = 1.0 / 3600.0
SUNNY_H = 2.0
"""Hours ahead for which a grower by day judges whether to feed the fire."""
FORESIGHT_H = 3.0
"""Hours before a store runs down at which a fire is lit whatever its size."""
COLD_K = 1.0
"""The grower opens the draft when the air is this far under the setpoint."""
HOT_K = 3.0
"""... and shuts it when it is this far over."""
MOST_SHORT_K = 5.0
"""A house 20 K cold is not heated up in one go: nobody loads for more than this."""


class Plan(NamedTuple):
    """What a visit would do."""

    load_kg: float
    setting_w: float
    due: float
    """1.0 where the visit is worth making."""


def until(need_sum_j: Array, hour: int, span_h: float) -> float:
    """Heat that the greenhouse is expected to need from ``hour`` for ``span_h`` hours, J."""
    last = need_sum_j.shape[0] - 1
    whole = int(span_h)
    end = min(hour + whole, last)
    after = min(end + 1, last)
    part = (span_h - whole) * (need_sum_j[after] - need_sum_j[end])
    return need_sum_j[end] + part - need_sum_j[hour]


def burnable_kg(heater: Heater, span_h: float) -> float:
    """What the fire can burn in so many hours: more in the box is no use until the next chance."""
    return heater.burn_max_w * heater.kg_per_j * span_h * 3600.0


def content(
    heater: Heater,
    habits: Habits,
    need_j: float,
    gap_h: float,
    short_j: float,
    over_k: float,
    t_out: float,
    fuel_kg: float,
    lit: float,
    store_t: float,
) -> bool:
    """Whether a visit now would find nothing to do: known without planning it.

    ``need_j`` is the heat expected to be needed until the next chance; the rest as for the plans
    that follow.
    """
    useful = heater.efficiency_max * heater.heat_j_kg
    if heater.law == SET_AND_LEAVE:
        least_j = habits.margin * (need_j + short_j)
        enough = fuel_kg > heater.coal_kg and fuel_kg * useful > least_j
        return enough and -COLD_K < over_k < HOT_K
    if heater.law == FULL_BURN:
        return lit > 0.5 and fuel_kg > heater.coal_kg
    least_kg = habits.margin * need_j / useful
    low_kg = 0.25 * heater.charge_kg
    if heater.law == STORE_THERMOSTAT:
        other_kg_h = boiler_kg_h(heater, t_out, store_t)
        least_kg = habits.margin * (need_j / useful + other_kg_h * gap_h)
        low_kg = max(0.1 * heater.charge_kg, heater.coal_kg)
    return not fuel_kg < max(min(least_kg, burnable_kg(heater, gap_h)), low_kg)


def boiler_kg_h(heater: Heater, t_out: float, store_t: float) -> float:
    """What an outdoor boiler burns in an hour for its jacket, its pipe and its idling, kg."""
    useful = heater.efficiency_max * heater.heat_j_kg
    jacket_w = max(0.0, (heater.out_w_k + heater.pipe_w_k) * (store_t - t_out))
    return (jacket_w / useful + heater.idle_w / heater.heat_j_kg) * 3600.0


def plan_batch(
    heater: Heater,
    habits: Habits,
    need_sum_j: Array,
    hour: int,
    gap_h: float,
    short_j: float,
    over_k: float,
    fuel_kg: float,
    setting_w: float,
    lit: float,
) -> Plan:
    """A stove whose air is set and left.

    Enough fuel for the hours to the next chance (or the usual hours of a daytime load),
    and the air so that it lasts that long. ``short_j`` brings a cold house back to its
    setpoint; ``over_k`` is how far the air stands over (+) or under (−) the setpoint.
    """
    span_h = max(gap_h, habits.load_for_h)
    useful = heater.efficiency_max * heater.heat_j_kg
    least_j = habits.margin * (until(need_sum_j, hour, gap_h) + short_j)
    if fuel_kg > heater.coal_kg and fuel_kg * useful > least_j and -COLD_K < over_k < HOT_K:
        return Plan(0.0, setting_w, 0.0)  # burning well enough: no visit
    need_j = habits.margin * (until(need_sum_j, hour, span_h) + short_j)
    per_useful = 1.0 / useful
    least_kg = least_j * per_useful
    load = min(max(0.0, need_j * per_useful - fuel_kg), heater.charge_kg - fuel_kg)
    low = fuel_kg < max(least_kg, heater.coal_kg)
    # in the sun the fire is let die: what it would give at its lowest is not needed
    warm = False
    if over_k > 0.0:
        soon_h = max(gap_h, SUNNY_H)
        lowest_j = heater.burn_min_w * heater.efficiency_min * soon_h * 3600.0
        warm = until(need_sum_j, hour, soon_h) < HALF * lowest_j
    if not low or warm or load < WORTHWHILE * heater.charge_kg:
        load = 0.0
    fuel_j = per_useful * heater.heat_j_kg  # fuel for each useful joule
    if gap_h > 1.5:
        # damped so that what is in the box lasts to the next chance
        per_gap = 1.0 / (gap_h * 3600.0)
        rate_w = need_j / (span_h * 3600.0) * fuel_j
        rate_w = min(rate_w, (fuel_kg + load) * heater.heat_j_kg * per_gap)
    elif over_k < -COLD_K:
        rate_w = heater.burn_max_w
    else:
        # somebody is about: bring a cold house back within the hour
        hour_j = until(need_sum_j, hour, 1.0) + short_j
        rate_w = max(need_j / span_h, hour_j) * fuel_j * PER_HOUR
    rate_w = min(max(rate_w, heater.burn_min_w), heater.burn_max_w)
    due = 1.0 if load > 0.0 else 0.0
    if lit > 0.5 and due < 0.5:
        colder = over_k < -COLD_K and rate_w > 1.2 * setting_w
        hotter = over_k > HOT_K and setting_w > 1.2 * heater.burn_min_w
        if colder:
            due = 1.0
        if hotter:
            rate_w = heater.burn_min_w
            due = 1.0
    return Plan(load, rate_w, due)


def plan_store(
    heater: Heater,
    habits: Habits,
    need_sum_j: Array,
    hour: int,
    gap_h: float,
    short_j: float,
    air_t: float,
    fuel_kg: float,
    lit: float,
    store_t: float,
) -> Plan:
    """A heater that burns each charge flat out into its store (masonry bench, buffer tank).

    A fire is due when what the store can still give, at the rate that will be needed,
    does not last to the next chance; the charge is what the
    coming day's need asks for, and what the store has room for.
    """
    span_h = max(gap_h, STORED_H)
    need_j = habits.margin * (until(need_sum_j, hour, span_h) + short_j)
    if need_j <= 0.0:
        return Plan(0.0, heater.burn_max_w, 0.0)
    need_w = need_j / (span_h * 3600.0)
    conductance = heater.coil_w_k
    if conductance <= 0.0:
        conductance = heater.skin_w_k
        if heater.skin_c > 0.0 and heater.core_skin_w_k > 0.0:
            conductance = 1.0 / (1.0 / heater.skin_w_k + 1.0 / heater.core_skin_w_k)
    floor_t = max(heater.coil_above, air_t + need_w / max(conductance, 1e-9))
    capacity = heater.store_c + heater.skin_c
    held_j = capacity * (store_t - min(floor_t, heater.store_limit))
    useful = heater.efficiency_max * heater.heat_j_kg
    # what the store can take: its room, and what it gives away while the charge burns
    release_w = min(need_w, conductance * max(0.0, store_t - air_t))
    room_j = capacity * max(0.0, heater.store_limit - store_t) + release_w * 3600.0
    stored_share = max(1.0 - heater.direct_share, 1e-9)
    want_kg = min(need_j - held_j, room_j / stored_share) / useful - fuel_kg
    load = min(max(0.0, want_kg), heater.charge_kg - fuel_kg)
    soon_j = habits.margin * (until(need_sum_j, hour, gap_h + FORESIGHT_H) + short_j)
    pressing = held_j + fuel_kg * useful < soon_j
    burning = lit > 0.5 and fuel_kg > heater.coal_kg
    least = WORTHWHILE if pressing else HALF
    if burning or load < least * heater.charge_kg:
        load = 0.0
    return Plan(load, heater.burn_max_w, 1.0 if load > 0.0 else 0.0)


def plan_boiler(
    heater: Heater,
    habits: Habits,
    need_sum_j: Array,
    hour: int,
    gap_h: float,
    t_out: float,
    fuel_kg: float,
    store_t: float,
) -> Plan:
    """An outdoor boiler: filled for half a day, more often only when it would run out.

    What it must cover is the greenhouse's need, the pipe, its own jacket, and idling.
    """
    span_h = max(gap_h, FED_H)
    if until(need_sum_j, hour, 24.0) <= 0.0:
        return Plan(0.0, heater.burn_max_w, 0.0)
    useful = heater.efficiency_max * heater.heat_j_kg
    other_kg_h = boiler_kg_h(heater, t_out, store_t)
    want_kg = habits.margin * (until(need_sum_j, hour, span_h) / useful + other_kg_h * span_h)
    least_kg = habits.margin * (until(need_sum_j, hour, gap_h) / useful + other_kg_h * gap_h)
    least_kg = min(least_kg, burnable_kg(heater, gap_h))
    low = fuel_kg < max(least_kg, 0.1 * heater.charge_kg, heater.coal_kg)
    load = min(max(0.0, want_kg - fuel_kg), heater.charge_kg - fuel_kg)
    if not low or load < WORTHWHILE * heater.charge_kg:
        load = 0.0
    return Plan(load, heater.burn_max_w, 1.0 if load > 0.0 else 0.0)


def plan_hopper(
    heater: Heater,
    habits: Habits,
    need_sum_j: Array,
    hour: int,
    gap_h: float,
    fuel_kg: float,
) -> Plan:
    """A hopper: filled up when a quarter full, or when it would not last to the next chance."""
    useful = heater.efficiency_max * heater.heat_j_kg
    least_kg = habits.margin * until(need_sum_j, hour, gap_h) / useful
    least_kg = min(least_kg, burnable_kg(heater, gap_h))
    low = fuel_kg < max(least_kg, 0.25 * heater.charge_kg)
    load = heater.charge_kg - fuel_kg
    if not low or load < WORTHWHILE * heater.charge_kg or until(need_sum_j, hour, 24.0) <= 0.0:
        load = 0.0
    return Plan(load, heater.burn_max_w, 1.0 if load > 0.0 else 0.0)


def plan(
    heater: Heater,
    habits: Habits,
    need_sum_j: Array,
    hour: int,
    gap_h: float,
    quick_c: float,
    setpoint: float,
    air_t: float,
    t_out: float,
    fuel_kg: float,
    setting_w: float,
    lit: float,
    store_t: float,
) -> Plan:
    """What a visit now would do, by the heater's burn law."""
    short_j = quick_c * min(MOST_SHORT_K, max(0.0, setpoint - air_t))
    if heater.law == SET_AND_LEAVE:
        return plan_batch(
            heater,
            habits,
            need_sum_j,
            hour,
            gap_h,
            short_j,
            air_t - setpoint,
            fuel_kg,
            setting_w,
            lit,
        )
    if heater.law == FULL_BURN:
        return plan_store(
            heater, habits, need_sum_j, hour, gap_h, short_j, air_t, fuel_kg, lit, store_t
        )
    if heater.law == STORE_THERMOSTAT:
        return plan_boiler(heater, habits, need_sum_j, hour, gap_h, t_out, fuel_kg, store_t)
    return plan_hopper(heater, habits, need_sum_j, hour, gap_h, fuel_kg)
