"""The heat that a steady balance at the setpoint would need."""

from __future__ import annotations

from typing import Any

import numpy as np

from greenhouse_sim.greenhouse.network import last_nodes, steady_shares
from greenhouse_sim.greenhouse.numbers import House

Array = np.ndarray


def steady_need(house: House, fields: dict[str, Any]) -> Array:
    """Heat need of each hour, W, never below 0.

    Envelope + sky + infiltration + edge + what the heat stores pass on in a steady state,
    less the sun that warms something and gains. ``fields`` are those of `Drive`.
    """
    setpoint, t_out = fields["setpoint"], fields["t_out"]
    dt = setpoint - t_out
    leak = house.leak_w_k * np.sqrt(fields["leak_wind"] + house.leak_stack * np.abs(dt))
    share, to_outdoors, to_ground = steady_shares(house)
    lost = (fields["loss_w_k"] + leak + house.edge_w_k + to_outdoors) * dt + fields["sky_w"]
    lost = lost + to_ground * (setpoint - fields["t_ground"])
    sun = fields["sun_air_w"] + fields["sun_floor_w"] + fields["sun_mass_w"]
    outside = fields["outside_w"]
    lit = last_nodes(house)[: outside.shape[1]]
    return np.maximum(lost - sun - outside @ share[lit] - fields["gain_w"], 0.0)


def running_sum_j(need_w: Array) -> Array:
    """Heat needed up to the beginning of each hour, J, shape (hours + 1,)."""
    total = np.zeros(len(need_w) + 1)
    np.cumsum(need_w * 3600.0, out=total[1:])
    return total
