"""Heat lost through the edge of the floor to the outdoor air.

The perimeter factor F (W/mK) of building codes gives the steady loss of a slab on the ground
as F × perimeter × (indoor - outdoor air). Most of it leaves through the strip next to the wall,
and here F stands for that alone. What a wide floor loses beyond it goes down the soil
chain to the deep ground (`slab`, `ground.soil_chain`): no heat is counted twice.
"""

from __future__ import annotations

from typing import Any

from greenhouse_sim.greenhouse.part import Shell
from greenhouse_sim.greenhouse.table import named_row


def edge_w_k(house: Any, shell: Shell) -> float:
    """Perimeter loss from the air to the outdoor air, W/K; 0 where a test box states its floor."""
    if house.shape == "surfaces" and has_floor(house):
        return 0.0
    row = named_row("perimeter", house.perimeter_insulation, "[greenhouse] perimeter_insulation")
    return float(row["f_value"]) * shell.perimeter_m


def has_floor(house: Any) -> bool:
    """Whether a test box says itself how its floor loses heat."""
    listed = any(row.tilt > 135.0 for row in house.surface)
    return listed or house.floor_u_value is not None
