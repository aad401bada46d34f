"""KERNEL: the places in a season's tally, an array of floats that the loop adds to.

Energies in J, masses in kg, times in s or h as the name says.
"""

from __future__ import annotations

import numpy as np

HEAT_J = 0
"""Heater into the greenhouse."""
BACKUP_J = 1
SUN_J = 2
GAIN_J = 3
ENVELOPE_J = 4
LEAK_J = 5
GROUND_J = 6
VENT_J = 7
LATENT_J = 8
STORAGE_J = 9
FUEL_J = 10
FUEL_KG = 11
FLUE_J = 12
OUTDOORS_J = 13
"""From the store, its jacket and pipe to outdoors and ground."""
DUMPED_J = 14
"""Heat of a store at its limit."""
STORE_CHANGE_J = 15
ELECTRIC_J = 16
LOADS = 17
FIRES = 18
IGNITIONS = 19
VISITS = 20
WAKEUPS = 21
NIGHTS_WOKEN = 22
COLD_H = 23
COLD_DEGREE_H = 24
DAMAGE_H = 25
LONGEST_DAMAGE_H = 26
FROST_H = 27
LOWEST_AIR = 28
LOWEST_HOUR = 29
VENT_H = 30
FIRE_H = 31
LOADED_KG = 32
LOAD_S = 33
LIGHT_S = 34
NIGHT_S = 35
WATCH_S = 36
ASH_S = 37
LOOK_S = 38
CAUSE_OUT = 39
CAUSE_FULL = 40
CAUSE_ASLEEP = 41
CAUSE_AWAY = 42
CAUSE_POWER = 43
CAUSE_FUEL = 44
LONGEST_SLEEP_H = 45
HIGHEST_STORE = 46
FUEL_LEFT_KG = 47
HOTTEST_AIR = 48
BACKUP_FUEL_J = 49
DECAYED_KG = 50

LOWEST_CROP = 51
"""Coldest hour at the plants: house air, or the air under their cover."""
FIRST_DAMAGE_HOUR = 52
"""Hour of the first damage, −1 for none."""
DAMAGE_NIGHTS = 53

AIR_SUM = 54
"""Sum over sub-steps of the mean air, °C: for the books (`season.modes`)."""
FLOOR_SUM = 55
"""Sum over sub-steps of floor-directed heat, W."""
PULL_SUM = 56
"""Sum over hours of pull_w_k times the mean air, W."""
VAPOUR_SUM = 57
"""Sum over hours of vapour_w_k times the mean air, W."""

SIZE = 58
MONTHS = 13
"""A year that starts within a month touches thirteen."""


def empty() -> np.ndarray:
    """The tally of a season that has not begun: coldest and hottest far off, no damage yet."""
    total = np.zeros(SIZE)
    total[[LOWEST_AIR, LOWEST_CROP]] = 1000.0
    total[[HOTTEST_AIR, HIGHEST_STORE]] = -1000.0
    total[FIRST_DAMAGE_HOUR] = -1.0
    return total


TRACE = (
    "air_C",
    "heater_W",
    "backup_W",
    "fuel_kg",
    "loaded_kg",
    "woken",
    "store_C",
    "soil_C",
    "vent_W",
    "cause",
    "visit",
    "fuel_left_kg",
    "crop_C",
)
"""Columns of the hourly trace, in order. Hourly means, except counts and what is left."""
TRACE_SIZE = 13
