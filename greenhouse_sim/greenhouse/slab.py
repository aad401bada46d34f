"""What a bare floor on the ground loses in a steady state, edge and middle together.

The heat of a floor bends round towards the air outside, the more so the nearer the edge. ISO
13370 (slab on ground) puts that two-dimensional flow into one number for floor area A and
perimeter P, with the soil's conductivity λ, the wall's thickness w and the surface resistances:

    B' = A / (P/2),    dt = w + λ (Rsi + Rse)
    U = 2λ/(π B' + dt) · ln(π B'/dt + 1)    where dt < B',    else λ/(0.457 B' + dt)

to the yearly mean of the outdoor air. A greenhouse's wall counts as having no thickness.
"""

from __future__ import annotations

import math

from greenhouse_sim.greenhouse.table import named_row, soil


def slab_w_k(
    floor_m2: float, perimeter_m: float, conductivity: float, wall_m: float = 0.0
) -> float:
    """Steady loss of a bare floor, edge and middle together, W/K."""
    wide = floor_m2 / (0.5 * perimeter_m)
    thick = wall_m + conductivity * (soil("slab_inside_r") + soil("slab_outside_r"))
    if thick < wide:
        around = math.pi * wide
        u_value = 2.0 * conductivity / (around + thick) * math.log(around / thick + 1.0)
    else:
        u_value = conductivity / (0.457 * wide + thick)
    return u_value * floor_m2


def middle_w_k(floor_m2: float, perimeter_m: float, conductivity: float, straight: float) -> float:
    """What of it does not leave by the edge, W/K.

    The loss of the whole floor less that of its bare edge (perimeter factor without
    insulation: insulation at the edge changes nothing in the middle). Never more than heat going
    ``straight`` down through the layers (W/K), nor less than a small share of that.
    """
    bare = float(named_row("perimeter", "none", "[greenhouse] perimeter_insulation")["f_value"])
    middle = slab_w_k(floor_m2, perimeter_m, conductivity) - bare * perimeter_m
    return min(max(middle, soil("least_down") * straight), straight)
