"""KERNEL: the two ends of a season in a lane: its numbers laid out, and its sums handed back."""

from __future__ import annotations

from greenhouse_sim.greenhouse.numbers import House
from greenhouse_sim.heater.numbers import Backup, Heater
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.beside import lanes as row
from greenhouse_sim.season.beside.lanes import COUNTED, LANES, Ends, backup_at, heater_at
from greenhouse_sim.season.count import count_backup, count_heater
from greenhouse_sim.season.numbers import COLUMNS, LEVEL, SENDS, STATE_SIZE, Array, Modes
from greenhouse_sim.substep import STEP_S


def constants(house: House, modes: Modes, heater: Heater, backup: Backup) -> tuple[float, ...]:
    """What does not change in a season's house and control, in the order of the work array."""
    share = 1.0 - heater.floor_share * (1.0 - modes.heat_to_air)
    return (
        house.leak_w_k,
        house.leak_stack,
        house.quick_c,
        house.air_c,
        house.damage_below,
        STEP_S / house.air_c,
        house.air_c / STEP_S,
        share,
        1.0 / share,
        backup.starts_below,
        house.vent_at,
        house.vent_w_k,
        house.ideal_cooling,
    )


def begin(work: Array, tab: Array, lane: int, ends: Ends) -> None:
    """Take up a season where its state says."""
    for i in range(STATE_SIZE):
        work[i * LANES + lane] = ends.states[lane, i]
    for i in range(len(COUNTED)):
        work[row.COLD_H + i * LANES + lane] = ends.totals[lane, COUNTED[i]]
    for place in range(row.HEAT_ALL, row.LIGHTS_ALL + LANES, LANES):
        work[place + lane] = 0.0
    sent_w = 0.0
    for i in range(tab.shape[0]):
        for k in range(COLUMNS):
            tab[i, k * LANES + lane] = ends.tables[lane, i, k]
        sent_w += ends.tables[lane, i, SENDS] * ends.tables[lane, i, LEVEL]
    work[row.SENT + lane] = sent_w
    work[row.CORE_BEGUN + lane] = work[row.CORE + lane]
    work[row.SKIN_BEGUN + lane] = work[row.SKIN + lane]
    work[row.DRY_BEGUN + lane] = work[row.DRY + lane]
    work[row.NIGHT_WOKEN + lane] = -1.0
    work[row.NIGHT_HURT + lane] = -1.0
    work[row.SLEEP_H + lane] = 0.0
    work[row.DAMAGE_RUN_H + lane] = 0.0


def end(work: Array, tab: Array, lane: int, ends: Ends, law: float) -> None:
    """Hand back the state, the table of modes and what was counted."""
    total, heater = ends.totals[lane], heater_at(work, lane, law)
    for i in range(STATE_SIZE):
        ends.states[lane, i] = work[i * LANES + lane]
    for i in range(len(COUNTED)):
        total[COUNTED[i]] = work[row.COLD_H + i * LANES + lane]
    for i in range(tab.shape[0]):
        for k in range(COLUMNS):
            ends.tables[lane, i, k] = tab[i, k * LANES + lane]
    total[at.AIR_SUM] += work[row.AIR_ALL + lane]
    total[at.PULL_SUM] += work[row.PULL_ALL + lane]
    total[at.VAPOUR_SUM] += work[row.VAPOUR_ALL + lane]
    total[at.FLOOR_SUM] += work[row.FLOOR_ALL + lane]
    total[at.LEAK_J] += work[row.LEAK_ALL + lane] * 3600.0
    total[at.VENT_J] += work[row.VENT_ALL + lane] * STEP_S
    total[at.OUTDOORS_J] += work[row.OUTDOORS_ALL + lane] * STEP_S
    total[at.DUMPED_J] += work[row.DUMPED_ALL + lane] * STEP_S
    count_heater(
        total,
        heater,
        work[row.HEAT_ALL + lane],
        work[row.FUEL_ALL + lane],
        work[row.USEFUL_ALL + lane],
        work[row.BURNING_ALL + lane],
        work[row.PUMP_ALL + lane],
        work[row.LIGHTS_ALL + lane],
    )
    count_backup(total, backup_at(work, lane), work[row.BACKUP_ALL + lane])
    core_k = work[row.CORE + lane] - work[row.CORE_BEGUN + lane]
    skin_k = work[row.SKIN + lane] - work[row.SKIN_BEGUN + lane]
    total[at.STORE_CHANGE_J] += heater.store_c * core_k
    total[at.STORE_CHANGE_J] += heater.skin_c * skin_k
    total[at.DECAYED_KG] += work[row.DRY_BEGUN + lane] - work[row.DRY + lane]
    total[at.FUEL_LEFT_KG] = work[row.FUEL + lane]
