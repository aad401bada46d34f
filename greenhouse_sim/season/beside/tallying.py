"""KERNEL: the tally of an hour in every lane."""

from __future__ import annotations

from greenhouse_sim.season import tally as at
from greenhouse_sim.season.beside import lanes as row
from greenhouse_sim.season.beside.lanes import LANES, SOIL, fire_at, heater_at
from greenhouse_sim.season.heating import cause_of_cold
from greenhouse_sim.season.hour import COLD_BAND_K, PER_SUB_STEP
from greenhouse_sim.season.numbers import LEVEL, Array
from greenhouse_sim.substep import STEP_S


def tally_hour(work: Array, n: int, law: float, covered: bool, hour: int) -> None:
    """Count an hour."""
    add_hour(work, n, hour)
    cold = 0
    hurt = 0
    for lane in range(n):
        mean = work[row.HOUR_MEAN + lane]
        crop_t = work[row.CROP_SUM + lane] * PER_SUB_STEP if covered else mean
        work[row.CROP + lane] = crop_t
        work[row.LOWEST_CROP + lane] = min(work[row.LOWEST_CROP + lane], crop_t)
        work[row.FROST_H + lane] += 1.0 if mean < 0.0 else 0.0
        if crop_t < work[row.DAMAGE_BELOW + lane]:
            hurt += 1
        if mean < work[row.HOLD + lane] - COLD_BAND_K:
            cold += 1
    for lane in range(n):
        work[row.CAUSE + lane] = 0.0
    if cold > 0:
        tally_cold(work, n, law)
    if hurt > 0:
        tally_hurt(work, n, hour)
    else:
        for lane in range(n):
            work[row.DAMAGE_RUN_H + lane] = 0.0


def add_hour(work: Array, n: int, hour: int) -> None:
    """Add an hour to the season's sums."""
    for lane in range(n):
        woken = work[row.WOKEN_SUM + lane] > 0.5
        slept = 0.0 if woken else work[row.SLEEP_H + lane] + 1.0
        sleep_h = slept if work[row.ASLEEP + lane] > 0.5 else 0.0
        work[row.SLEEP_H + lane] = sleep_h
        work[row.LONGEST_SLEEP_H + lane] = max(work[row.LONGEST_SLEEP_H + lane], sleep_h)
        air_sum, burning = work[row.AIR_SUM + lane], work[row.BURNING + lane]
        mean = air_sum * PER_SUB_STEP
        work[row.HOUR_MEAN + lane] = mean
        work[row.AIR_ALL + lane] += air_sum
        work[row.PULL_ALL + lane] += work[row.PULL_H + lane] * mean
        work[row.VAPOUR_ALL + lane] += work[row.VAPOUR_H + lane] * mean
        work[row.LEAK_ALL + lane] += work[row.LEAK + lane] * (mean - work[row.T_OUT + lane])
        work[row.HEAT_ALL + lane] += work[row.HEAT_SUM + lane]
        work[row.FUEL_ALL + lane] += work[row.FUEL_SUM + lane]
        work[row.BACKUP_ALL + lane] += work[row.BACKUP_SUM + lane]
        work[row.BURNING_ALL + lane] += burning
        work[row.WATCHED + lane] += work[row.WATCH_SHARE + lane] * burning * PER_SUB_STEP
        fuel_kg = work[row.FUEL_SUM + lane] * STEP_S * work[row.KG_PER_J + lane]
        work[row.FUEL_KG + lane] = fuel_kg
        work[row.MONTH_KG + lane] += fuel_kg
        vent_sum = work[row.VENT_SUM + lane]
        work[row.VENT_ALL + lane] += vent_sum
        work[row.VENT_H + lane] += 1.0 if vent_sum > 0.0 else 0.0
        core, hottest = work[row.CORE + lane], work[row.HOTTEST_AIR + lane]
        work[row.HIGHEST_STORE + lane] = max(work[row.HIGHEST_STORE + lane], core)
        work[row.HOTTEST_AIR + lane] = max(hottest, mean)
        lowest = work[row.LOWEST_AIR + lane]
        when = work[row.LOWEST_HOUR + lane]
        work[row.LOWEST_HOUR + lane] = float(hour) if mean < lowest else when
        work[row.LOWEST_AIR + lane] = min(lowest, mean)


def tally_cold(work: Array, n: int, law: float) -> None:
    """Count a cold hour by its cause."""
    for lane in range(n):
        fire = fire_at(work, lane)
        opened = work[row.VISIT_SUM + lane] > 0.5 and fire.setting_w >= work[row.BURN_MAX + lane]
        found = cause_of_cold(
            heater_at(work, lane, law),
            fire,
            work[row.MOST_SUM + lane] * PER_SUB_STEP,
            opened,
            work[row.POWER + lane],
            work[row.AWAY + lane],
            work[row.ASLEEP + lane],
            work[row.PILE + lane],
        )
        short_k = work[row.HOLD + lane] - work[row.HOUR_MEAN + lane]
        cold = work[row.HOUR_MEAN + lane] < work[row.HOLD + lane] - COLD_BAND_K
        cause = float(found) if cold else 0.0
        work[row.CAUSE + lane] = cause
        work[row.COLD_H + lane] += 1.0 if cold else 0.0
        work[row.COLD_DEGREE_H + lane] += short_k if cold else 0.0
        work[row.CAUSE_OUT + lane] += 1.0 if cause == at.CAUSE_OUT else 0.0
        work[row.CAUSE_FULL + lane] += 1.0 if cause == at.CAUSE_FULL else 0.0
        work[row.CAUSE_ASLEEP + lane] += 1.0 if cause == at.CAUSE_ASLEEP else 0.0
        work[row.CAUSE_AWAY + lane] += 1.0 if cause == at.CAUSE_AWAY else 0.0
        work[row.CAUSE_POWER + lane] += 1.0 if cause == at.CAUSE_POWER else 0.0
        work[row.CAUSE_FUEL + lane] += 1.0 if cause == at.CAUSE_FUEL else 0.0


def tally_hurt(work: Array, n: int, hour: int) -> None:
    """Count hours and nights under the crop's damage temperature."""
    for lane in range(n):
        hurt = work[row.CROP + lane] < work[row.DAMAGE_BELOW + lane]
        run_h = work[row.DAMAGE_RUN_H + lane] + 1.0 if hurt else 0.0
        work[row.DAMAGE_RUN_H + lane] = run_h
        first, night = work[row.FIRST_DAMAGE_HOUR + lane], work[row.NIGHT + lane]
        work[row.FIRST_DAMAGE_HOUR + lane] = float(hour) if hurt and first < 0.0 else first
        work[row.DAMAGE_H + lane] += 1.0 if hurt else 0.0
        work[row.LONGEST_DAMAGE_H + lane] = max(work[row.LONGEST_DAMAGE_H + lane], run_h)
        last = work[row.NIGHT_HURT + lane]
        another = hurt and night >= 0.0 and night != last
        work[row.DAMAGE_NIGHTS + lane] += 1.0 if another else 0.0
        work[row.NIGHT_HURT + lane] = night if another else last


def trace_hour(work: Array, tab: Array, lane: int, trace: Array, hour: int) -> None:
    """A row of the hourly trace."""
    soil_t = 0.0
    for i in range(tab.shape[0]):
        soil_t += tab[i, SOIL + lane] * tab[i, LEVEL * LANES + lane]
    trace[hour, 0] = work[row.HOUR_MEAN + lane]
    trace[hour, 1] = work[row.HEAT_SUM + lane] * PER_SUB_STEP
    trace[hour, 2] = work[row.BACKUP_SUM + lane] * PER_SUB_STEP
    trace[hour, 3] = work[row.FUEL_KG + lane]
    trace[hour, 4] = work[row.LOADED_SUM + lane]
    trace[hour, 5] = work[row.WOKEN_SUM + lane]
    trace[hour, 6] = work[row.CORE + lane]
    trace[hour, 7] = soil_t
    trace[hour, 8] = work[row.VENT_SUM + lane] * PER_SUB_STEP
    trace[hour, 9] = work[row.CAUSE + lane]
    trace[hour, 10] = work[row.VISIT_SUM + lane]
    trace[hour, 11] = work[row.FUEL + lane]
    trace[hour, 12] = work[row.CROP + lane]
