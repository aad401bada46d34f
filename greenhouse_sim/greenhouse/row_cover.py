"""A cover over the crop inside the house: the air under it is a node between house and soil.

Under a cover the soil warms the air over the crop, and the cover keeps it: in the steady
state the crop's air lies at

    t_crop = t_air + (t_soil − t_air)·h/(h + u)

with h between soil and crop air and u through the cover (W/m²K of bed). Bare beds are the
share of the floor that is not planted; the node is the mean over the floor, so the
conductance to the house is the two side by side.
"""

from __future__ import annotations

from typing import Any

from greenhouse_sim.greenhouse.chain import Chain
from greenhouse_sim.greenhouse.table import named_row, soil


def under_cover(house: Any, floor: Chain, floor_m2: float) -> Chain:
    """The floor's chain with the crop's air before the soil, where there is a row cover."""
    name = getattr(house, "row_cover", None)
    if name is None:
        return floor
    row = named_row("row_covers", name, "[greenhouse] row_cover")
    covered = floor_m2 * float(house.planted_share)
    if covered <= 0.0:
        return floor
    through = covered * float(row["u_value"]) + (floor_m2 - covered) * soil("surface_film")
    capacity = float(row["capacity"]) * covered
    return floor._replace(node_c=(capacity, *floor.node_c), node_g=(through, *floor.node_g), lit=1)
