"""KERNEL: add to the season's tally."""

from __future__ import annotations

from greenhouse_sim.heater.numbers import Backup, Heater
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.numbers import Array
from greenhouse_sim.substep import STEP_S, SUB_STEPS


def count_heater(
    total: Array,
    heater: Heater,
    heat_w: float,
    fuel_w: float,
    useful_w: float,
    burning: float,
    pumping: float,
    lights: float,
) -> None:
    """The heater's energy, from sums over sub-steps (``burning``, ``pumping``: shares of
    them) and its self-ignitions."""
    total[at.HEAT_J] += heat_w * STEP_S
    total[at.FUEL_J] += fuel_w * STEP_S
    total[at.FUEL_KG] += fuel_w * STEP_S * heater.kg_per_j
    total[at.FLUE_J] += (fuel_w - useful_w) * STEP_S
    total[at.FIRE_H] += burning / SUB_STEPS
    total[at.WATCH_S] += heater.watch_share * burning * STEP_S
    electric_w = heater.pump_electric_w * pumping + heater.burn_electric_w * burning
    total[at.ELECTRIC_J] += electric_w * STEP_S + heater.ignition_j * lights
    total[at.IGNITIONS] += lights


def count_backup(total: Array, backup: Backup, heat_w: float) -> None:
    """The back-up's energy, from its heat summed over sub-steps."""
    if heat_w <= 0.0:
        return
    burnt_j = heat_w * STEP_S / backup.efficiency
    total[at.BACKUP_J] += heat_w * STEP_S
    total[at.BACKUP_FUEL_J] += burnt_j
    total[at.ELECTRIC_J] += backup.electric_w * heat_w / backup.max_w * STEP_S
    if backup.is_electric > 0.5:
        total[at.ELECTRIC_J] += burnt_j


def count_damage(total: Array, hour: int, run_h: float, crop_t: float, mean_t: float) -> None:
    """Hours under the crop's damage temperature (``run_h`` so far in a row), and under freezing."""
    total[at.LOWEST_CROP] = min(total[at.LOWEST_CROP], crop_t)
    if run_h > 0.0:
        if total[at.FIRST_DAMAGE_HOUR] < 0.0:
            total[at.FIRST_DAMAGE_HOUR] = float(hour)
        total[at.DAMAGE_H] += 1.0
        total[at.LONGEST_DAMAGE_H] = max(total[at.LONGEST_DAMAGE_H], run_h)
    if mean_t < 0.0:
        total[at.FROST_H] += 1.0
