"""KERNEL: what the loop walks through: the slow parts as modes, and the hours as sums.

Between the air and the boundaries the slow parts (soil, walls, barrels) are linear, so they are
taken apart once into modes that know nothing of each other (`greenhouse_sim.season.modes`).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

Array = np.ndarray

# columns of the table of modes, one row a mode
LEVEL = 0
"""The mode's state, J/√(J/K)."""
KEEP = 1
"""What is left of the state after a sub-step."""
FROM_AIR = 2
"""What a kelvin of mean air adds to it in a sub-step."""
FROM_FLOOR = 3
"""What a watt of floor-directed heat adds to it in a sub-step."""
SENDS = 4
"""Heat that its state at the beginning sends to the air in the mean of the sub-step, W."""
LEVEL_SUM = 5
"""Sum of the states at the beginnings of all sub-steps so far."""
CROP_KEEP = 6
CROP_GAIN = 7
"""The crop's air in the mean of a sub-step: of the state, and of what came in; K."""
COLUMNS = 8


class Modes(NamedTuple):
    """The slow parts of the greenhouse."""

    table: Array
    """float64, shape (modes, COLUMNS)."""
    air_w_k: float
    """What all of them together pull on the air within a sub-step, W/K."""
    heat_to_air: float
    """Share of floor-directed heat that reaches the air within the sub-step."""
    soil: Array
    """float64, shape (modes,): the first layer's temperature of the states."""


class Hours(NamedTuple):
    """The winter as the loop needs it: float64 arrays of shape (hours,) but for two."""

    t_out: Array
    """Outdoor dry-bulb temperature, °C."""
    t_ground: Array
    """Deep-ground temperature, °C."""
    pull_w_k: Array
    """Envelope, perimeter and slow parts: what pulls on the air but for leaks, W/K."""
    push_w: Array
    """What they, the sky, sun and gains send to air at 0 °C, W."""
    vapour_w_k: Array
    """Part of pull_w_k by which evaporation grows with warmth, W/K."""
    leak_wind: Array
    """Wind part of (leak ratio)², see `Drive`."""
    setpoint: Array
    """Setpoint in force, °C."""
    into_modes: Array
    """Shape (hours, modes): what sun and boundaries add to each mode in a sub-step."""
    need_sum_j: Array
    """Shape (hours + 1,): heat that the grower expects to need up to each hour, J."""


# places in the state of a season between two hours
AIR = 0
FUEL = 1
SETTING = 2
LIT = 3
HARD = 4
CORE = 5
SKIN = 6
DRY = 7
PILE = 8
TAKEN = 9
SINCE_WOKEN = 10
WATCHED = 11
STATE_SIZE = 12
