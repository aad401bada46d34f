"""KERNEL: the work array: where the numbers of seasons that are run side by side lie.

A processor adds four pairs of floats as quickly as one. The hour is therefore written in stages,
each a loop over lanes, a season in each lane, and a number's lanes lie beside each other:
``work[HOLD + lane]`` is the setpoint of that lane's season. All lie in one array at places known
when the loop is compiled, so that the compiler sees that no lane touches another's.
"""

from __future__ import annotations

from typing import NamedTuple

from greenhouse_sim.greenhouse.numbers import House
from greenhouse_sim.heater.burn import Fire
from greenhouse_sim.heater.numbers import Backup, Heater
from greenhouse_sim.heater.store import Release, Store
from greenhouse_sim.routine.numbers import Calendar, Habits
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.balance import Control, Pace
from greenhouse_sim.season.numbers import COLUMNS, Array, Hours

QUAD = 4
"""Lanes that are added at once."""
LANES = 2 * QUAD
"""Seasons that run side by side: while one four waits for a result, the other goes on.

Four fours take 5 to 9 % off a season, and more than twice as long to compile.
"""

# fmt: off
(
    # the season's state, in the order of numbers.STATE
    AIR, FUEL, SETTING, LIT, HARD, CORE, SKIN, DRY, PILE, TAKEN, SINCE_WOKEN, WATCHED,
    # the hour's weather and calendar, see `Hours` and `Calendar`; need until the next chance
    T_OUT, T_GROUND, PULL_H, VAPOUR_H, PUSH_H, LEAK_WIND, HOLD, CHANCE, ASLEEP, GAP, NIGHT, POWER,
    AWAY, NEED,
    # the greenhouse, see `House`, and what holds its air, see `Control`
    LEAK_REF, LEAK_STACK, QUICK_C, AIR_C, DAMAGE_BELOW, STEPS_PER_C, C_PER_STEP, HEAT_SHARE,
    PER_HEAT_SHARE, BACKUP_HOLD, VENT_AT, VENT_W_K, IDEAL_COOLING,
    # the habits, see `Habits`
    GETS_UP_BELOW, LOAD_FOR_H, MARGIN, REST_H, STAYS_BY_H,
    # the back-up, see `Backup`
    BACKUP_MAX, STARTS_BELOW, BACKUP_EFFICIENCY, BACKUP_ELECTRIC, IS_ELECTRIC, BACKUP_NEEDS,
    # the air's response, see `Pace`
    PULL, PER_PULL, DECAY, GAIN, PER_GAIN, LAG,
    # the store's release, see `Release`, and what it sends
    RELEASE_PULL, PER_THETA, SKIN_W_K, CORE_CAP, CORE_INVERSE, SKIN_CAP, SKIN_INVERSE, SKIN_AT,
    CHARGE_AT, RELEASED,
    # the hour's loss coefficients
    LEAK, OPEN, FIXED, BACKUP_MOST, TENDS, COMES,
    # the sub-step: the fire, see `Fuelled`; the air, see `Air`; the modes
    FUEL_W, DIRECT_W, CHARGE_W, MOST_W, END, MEAN, HEAT_W, BACKUP_W, VENT_W, FLOOR_W, SENT, CROP,
    # the hour's sums over sub-steps
    AIR_SUM, CROP_SUM, HEAT_SUM, BACKUP_SUM, VENT_SUM, FUEL_SUM, BURNING, MOST_SUM, LOADED_SUM,
    WOKEN_SUM, VISIT_SUM,
    # the season's sums
    HEAT_ALL, FUEL_ALL, USEFUL_ALL, BACKUP_ALL, VENT_ALL, OUTDOORS_ALL, DUMPED_ALL, PUMP_ALL,
    BURNING_ALL, AIR_ALL, FLOOR_ALL, PULL_ALL, VAPOUR_ALL, LEAK_ALL, LIGHTS_ALL,
    # what the tally remembers from hour to hour
    NIGHT_WOKEN, NIGHT_HURT, SLEEP_H, DAMAGE_RUN_H, FUEL_KG, MONTH, MONTH_KG, HOUR_MEAN, CAUSE,
    CORE_BEGUN, SKIN_BEGUN, DRY_BEGUN,
    # hours and nights counted, in the order of `COUNTED`
    COLD_H, COLD_DEGREE_H, VENT_H, LOWEST_AIR, LOWEST_HOUR, HOTTEST_AIR, HIGHEST_STORE,
    LONGEST_SLEEP_H, LOWEST_CROP, FIRST_DAMAGE_HOUR, DAMAGE_H, LONGEST_DAMAGE_H, DAMAGE_NIGHTS,
    FROST_H, CAUSE_OUT, CAUSE_FULL, CAUSE_ASLEEP, CAUSE_AWAY, CAUSE_POWER, CAUSE_FUEL,
) = range(0, 142 * LANES, LANES)
# fmt: on
HEATER = 142 * LANES
BY_HOUR = (NEED - T_OUT) // LANES + 1
"""How many numbers an hour has of its own."""
HAND_FED = HEATER + Heater._fields.index("hand_fed") * LANES
BURN_MAX = HEATER + Heater._fields.index("burn_max_w") * LANES
NEEDS_POWER = HEATER + Heater._fields.index("needs_power") * LANES
WATCH_SHARE = HEATER + Heater._fields.index("watch_share") * LANES
FLOOR_SHARE = HEATER + Heater._fields.index("floor_share") * LANES
KG_PER_J = HEATER + Heater._fields.index("kg_per_j") * LANES
INTO = COLUMNS * LANES
SOIL = INTO + LANES
"""Columns of the modes' table here beyond their own: what sun and boundaries add to a mode in a
sub-step of this hour, and its part in the soil's temperature."""
TAB = SOIL + LANES
SIZE = HEATER + len(Heater._fields) * LANES
COUNTED = (
    at.COLD_H, at.COLD_DEGREE_H, at.VENT_H, at.LOWEST_AIR, at.LOWEST_HOUR, at.HOTTEST_AIR,
    at.HIGHEST_STORE, at.LONGEST_SLEEP_H, at.LOWEST_CROP, at.FIRST_DAMAGE_HOUR, at.DAMAGE_H,
    at.LONGEST_DAMAGE_H, at.DAMAGE_NIGHTS, at.FROST_H, at.CAUSE_OUT, at.CAUSE_FULL,
    at.CAUSE_ASLEEP, at.CAUSE_AWAY, at.CAUSE_POWER, at.CAUSE_FUEL,
)  # fmt: skip
"""What of the tally is counted in the work array."""

NO_STORE = 0
ONE_NODE = 1
"""A store whose core and skin are one."""
TWO_NODES = 2


class Kind(NamedTuple):
    """What seasons that run side by side have in common."""

    law: float
    """The heater's burn law."""
    store: int
    """NO_STORE, ONE_NODE or TWO_NODES."""
    covered: int
    """1 where the crop's air is a node of its own, else 0."""
    alike: int
    """1 where they are of one winter, whose hours are then taken once for all, else 0."""


class Winter(NamedTuple):
    """The hours of a lane's season."""

    hours: Hours
    calendar: Calendar


class Ends(NamedTuple):
    """What seasons begin with, and afterwards what they ended with; a row a lane."""

    states: Array
    """Shape (LANES, numbers.STATE_SIZE)."""
    tables: Array
    """Shape (LANES, modes, numbers.COLUMNS)."""
    totals: Array
    """Shape (LANES, tally.SIZE)."""
    months_kg: Array
    """Shape (LANES, tally.MONTHS)."""
    traces: Array
    """Shape (LANES, hours, tally.TRACE_SIZE), or without hours."""


def kind_of(house: House, heater: Heater, alike: bool) -> Kind:
    """What this greenhouse and heater may share lanes with."""
    store = NO_STORE
    if heater.store_c > 0.0:
        store = TWO_NODES if heater.skin_c > 0.0 else ONE_NODE
    return Kind(heater.law, store, int(house.crop_covered > 0.5), int(alike))


def heater_at(work: Array, lane: int, law: float, skin: bool = True) -> Heater:
    """The heater in a lane; ``skin`` False where its store is known to have none of its own."""
    at_l = HEATER + lane
    skin_c = work[at_l + 13 * LANES] if skin else 0.0
    return Heater(
        law,
        work[at_l + 1 * LANES],  # charge_kg
        work[at_l + 2 * LANES],  # heat_j_kg
        work[at_l + 3 * LANES],  # kg_per_j
        work[at_l + 4 * LANES],  # hand_fed
        work[at_l + 5 * LANES],  # burn_max_w
        work[at_l + 6 * LANES],  # burn_min_w
        work[at_l + 7 * LANES],  # idle_w
        work[at_l + 8 * LANES],  # coal_kg
        work[at_l + 9 * LANES],  # efficiency_max
        work[at_l + 10 * LANES],  # efficiency_min
        work[at_l + 11 * LANES],  # efficiency_slope
        work[at_l + 12 * LANES],  # store_c
        skin_c,  # skin_c
        work[at_l + 14 * LANES],  # core_skin_w_k
        work[at_l + 15 * LANES],  # store_start
        work[at_l + 16 * LANES],  # fire_below
        work[at_l + 17 * LANES],  # fire_above
        work[at_l + 18 * LANES],  # store_limit
        work[at_l + 19 * LANES],  # direct_share
        work[at_l + 20 * LANES],  # floor_share
        work[at_l + 21 * LANES],  # skin_w_k
        work[at_l + 22 * LANES],  # skin_slope
        work[at_l + 23 * LANES],  # out_w_k
        work[at_l + 24 * LANES],  # pipe_w_k
        work[at_l + 25 * LANES],  # coil_w_k
        work[at_l + 26 * LANES],  # coil_above
        work[at_l + 27 * LANES],  # burn_electric_w
        work[at_l + 28 * LANES],  # pump_electric_w
        work[at_l + 29 * LANES],  # ignition_j
        work[at_l + 30 * LANES],  # needs_power
        work[at_l + 31 * LANES],  # dry_kg
        work[at_l + 32 * LANES],  # decay_share
        work[at_l + 33 * LANES],  # decay_rate
        work[at_l + 34 * LANES],  # decay_j_kg
        work[at_l + 35 * LANES],  # air_limit_w
        work[at_l + 36 * LANES],  # load_s
        work[at_l + 37 * LANES],  # light_s
        work[at_l + 38 * LANES],  # night_s
        work[at_l + 39 * LANES],  # watch_share
        work[at_l + 40 * LANES],  # ash_s_kg
    )


def habits_at(work: Array, lane: int) -> Habits:
    """The habits in a lane."""
    return Habits(
        work[GETS_UP_BELOW + lane],
        work[LOAD_FOR_H + lane],
        work[MARGIN + lane],
        work[REST_H + lane],
        work[STAYS_BY_H + lane],
    )


def backup_at(work: Array, lane: int) -> Backup:
    """The back-up in a lane."""
    return Backup(
        work[BACKUP_MAX + lane],
        work[STARTS_BELOW + lane],
        work[BACKUP_EFFICIENCY + lane],
        work[BACKUP_ELECTRIC + lane],
        work[IS_ELECTRIC + lane],
        work[BACKUP_NEEDS + lane],
    )


def control_at(work: Array, lane: int) -> Control:
    """What holds the air in a lane."""
    return Control(
        work[STEPS_PER_C + lane],
        work[C_PER_STEP + lane],
        work[HEAT_SHARE + lane],
        work[PER_HEAT_SHARE + lane],
        work[BACKUP_HOLD + lane],
        work[VENT_AT + lane],
        work[VENT_W_K + lane],
        work[IDEAL_COOLING + lane],
    )


def fire_at(work: Array, lane: int) -> Fire:
    """The fire in a lane."""
    return Fire(work[FUEL + lane], work[SETTING + lane], work[LIT + lane], work[HARD + lane])


def put_fire(work: Array, lane: int, fire: Fire) -> None:
    """Keep the fire of a lane."""
    work[FUEL + lane] = fire.fuel_kg
    work[SETTING + lane] = fire.setting_w
    work[LIT + lane] = fire.lit
    work[HARD + lane] = fire.hard


def store_at(work: Array, lane: int) -> Store:
    """The store in a lane."""
    return Store(work[CORE + lane], work[SKIN + lane], work[DRY + lane])


def put_store(work: Array, lane: int, store: Store) -> None:
    """Keep the store of a lane."""
    work[CORE + lane] = store.core
    work[SKIN + lane] = store.skin
    work[DRY + lane] = store.dry_kg


def release_at(work: Array, lane: int) -> Release:
    """The store's release in a lane."""
    return Release(
        work[RELEASE_PULL + lane],
        work[PER_THETA + lane],
        work[SKIN_W_K + lane],
        work[CORE_CAP + lane],
        work[CORE_INVERSE + lane],
        work[SKIN_CAP + lane],
        work[SKIN_INVERSE + lane],
        work[SKIN_AT + lane],
        work[CHARGE_AT + lane],
    )


def put_release(work: Array, lane: int, release: Release) -> None:
    """Keep the release of a lane."""
    work[RELEASE_PULL + lane] = release.pull_w_k
    work[PER_THETA + lane] = release.per_theta
    work[SKIN_W_K + lane] = release.skin_w_k
    work[CORE_CAP + lane] = release.core_cap
    work[CORE_INVERSE + lane] = release.core_inverse
    work[SKIN_CAP + lane] = release.skin_cap
    work[SKIN_INVERSE + lane] = release.skin_inverse
    work[SKIN_AT + lane] = release.skin_at
    work[CHARGE_AT + lane] = release.charge_at


def pace_at(work: Array, lane: int) -> Pace:
    """The air's response in a lane."""
    return Pace(
        work[PULL + lane],
        work[PER_PULL + lane],
        work[DECAY + lane],
        work[GAIN + lane],
        work[PER_GAIN + lane],
        work[LAG + lane],
    )


def put_pace(work: Array, lane: int, pace_now: Pace) -> None:
    """Keep the air's response of a lane."""
    work[PULL + lane] = pace_now.pull
    work[PER_PULL + lane] = pace_now.per_pull
    work[DECAY + lane] = pace_now.decay
    work[GAIN + lane] = pace_now.gain
    work[PER_GAIN + lane] = pace_now.per_gain
    work[LAG + lane] = pace_now.lag
