"""KERNEL: add an hour to the season's tally."""

from __future__ import annotations

from typing import NamedTuple

from greenhouse_sim.heater.numbers import Backup, Heater
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.balance import Array
from greenhouse_sim.substep import STEP_S, SUB_STEPS

HOUR_S = 3600.0


class Sums(NamedTuple):
    """Sums over an hour's sub-steps: powers in W; ``stored_j`` in J; ``burning`` in sub-steps."""

    heat: float
    backup: float
    vent: float
    fuel: float
    flue: float
    outdoors: float
    dumped: float
    store: float
    electric: float
    burning: float
    stored_j: float


def count_energy(total: Array, heater: Heater, backup: Backup, sums: Sums) -> float:
    """Heater, back-up, vents and storage; returns the fuel burnt in the hour, kg."""
    total[at.HEAT_J] += sums.heat * STEP_S
    total[at.BACKUP_J] += sums.backup * STEP_S
    total[at.VENT_J] += sums.vent * STEP_S
    total[at.FUEL_J] += sums.fuel * STEP_S
    total[at.FLUE_J] += sums.flue * STEP_S
    total[at.OUTDOORS_J] += sums.outdoors * STEP_S
    total[at.DUMPED_J] += sums.dumped * STEP_S
    total[at.STORE_CHANGE_J] += sums.store * STEP_S
    total[at.ELECTRIC_J] += sums.electric * STEP_S
    total[at.STORAGE_J] += sums.stored_j
    total[at.FIRE_H] += sums.burning / SUB_STEPS
    total[at.WATCH_S] += heater.watch_share * sums.burning * STEP_S
    if sums.vent > 0.0:
        total[at.VENT_H] += 1.0
    if sums.backup > 0.0:
        burnt_j = sums.backup * STEP_S / backup.efficiency
        total[at.BACKUP_FUEL_J] += burnt_j
        total[at.ELECTRIC_J] += backup.electric_w * sums.backup / backup.max_w * STEP_S
        if backup.is_electric > 0.5:
            total[at.ELECTRIC_J] += burnt_j
    fuel_kg = sums.fuel * STEP_S * heater.kg_per_j
    total[at.FUEL_KG] += fuel_kg
    return fuel_kg


def count_house(
    total: Array,
    sun_w: float,
    gain_w: float,
    latent_w: float,
    envelope_w: float,
    leak_w: float,
    ground_w: float,
) -> None:
    """Gains and losses of the greenhouse by path."""
    total[at.SUN_J] += sun_w * HOUR_S
    total[at.GAIN_J] += gain_w * HOUR_S
    total[at.LATENT_J] += latent_w * HOUR_S
    total[at.ENVELOPE_J] += envelope_w * HOUR_S
    total[at.LEAK_J] += leak_w * HOUR_S
    total[at.GROUND_J] += ground_w * HOUR_S


def count_extremes(total: Array, hour: int, mean_t: float, store_t: float) -> None:
    """The season's coldest and hottest hour (mean air), and its hottest store."""
    total[at.HIGHEST_STORE] = max(total[at.HIGHEST_STORE], store_t)
    total[at.HOTTEST_AIR] = max(total[at.HOTTEST_AIR], mean_t)
    if mean_t < total[at.LOWEST_AIR]:
        total[at.LOWEST_AIR] = mean_t
        total[at.LOWEST_HOUR] = float(hour)


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
