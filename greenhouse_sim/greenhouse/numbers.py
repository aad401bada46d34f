"""The greenhouse and its winter as the hourly kernel sees them: SI floats and arrays.

Node picture: one air node (air with what hangs and stands in it) and any number
of *chains* hanging on it. A chain is a row of heat-storing nodes, each joined to
the one before it (the first one to the air) and the last one to a boundary:
the deep ground, the outdoor air, or nothing. Soil is a chain of layers down to
the deep ground, a water barrel a chain of one node with nothing behind it, a
massive wall a chain with the outdoor air behind it. In a closed room the first
nodes are inner faces, which also exchange radiation through a common node (`network`).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

Array = np.ndarray


class House(NamedTuple):
    """What does not change through the winter."""

    floor_m2: float
    air_c: float
    """Heat capacity of the air node, J/K."""
    quick_c: float
    """Heat capacity that follows the air within an hour or two, J/K (an operator's feel for it)."""
    leak_w_k: float
    """Infiltration at the reference wind and temperature difference, W/K."""
    leak_stack: float
    """Share of (leak ratio)² for each kelvin inside over outside, 1/K; 0 for fixed changes."""
    edge_w_k: float
    """Perimeter loss from the air to the outdoor air, W/K."""
    vent_at: float
    """Air temperature at which the vents open, °C."""
    vent_w_k: float
    """Most that open vents carry, W/K; infinite (1e12) for an ideal cooler."""
    ideal_cooling: float
    """1.0 where cooling does not depend on the outdoor air (test boxes)."""
    damage_below: float
    """Temperature under which the crop is hurt, °C."""
    crop_covered: float
    """1.0 where the crop's air is a node of its own, the very first (under a row cover)."""
    chain_start: Array
    """int64, shape (chains + 1,): chain k holds the nodes chain_start[k] : chain_start[k + 1]."""
    node_c: Array
    """float64, shape (nodes,): heat capacity, J/K; 0: an inner face that stores nothing."""
    node_g: Array
    """float64, shape (nodes,): conductance to the node before (a first node's: the air), W/K."""
    end_g: Array
    """float64, shape (chains,): conductance from the last node to the boundary, W/K; 0: none."""
    end_out: Array
    """float64, shape (chains,): boundary is the outdoor air (1.0) or the deep ground (0.0)."""
    node_sun_floor: Array
    """float64, shape (nodes,): share of Drive.sun_floor_w that each node absorbs (adds up to 1)."""
    node_sun_mass: Array
    """float64, shape (nodes,): share of Drive.sun_mass_w that each node absorbs (sum 1 or 0)."""
    node_heat: Array
    """float64, shape (nodes,): share of floor-directed heat that each node takes (sum 1 or 0)."""
    node_start: Array
    """float64, shape (nodes,): temperature at the start of the season, °C."""
    star_g: Array | float = 0.0
    """float64, shape (nodes,): conductance to the common radiant node, W/K; 0: none."""
    node_gain: Array | float = 0.0
    """float64, shape (nodes,): share of Drive.gain_w that each node takes; the air the rest."""


class Drive(NamedTuple):
    """What the winter does to the greenhouse, hour by hour: float64 arrays of shape (hours,).

    Everything that does not depend on the state of the greenhouse. All are means over the hour.
    """

    t_out: Array
    """Outdoor dry-bulb temperature, °C."""
    t_ground: Array
    """Deep-ground boundary temperature, °C."""
    loss_w_k: Array
    """Envelope heat-loss coefficient with the hour's wind, W/K: covers, curtain, opaque parts."""
    sky_w: Array
    """Envelope loss beyond loss_w_k × (t_air − t_out), W: clear-sky loss against the sky
    that published U-values already hold, less sun absorbed on the outside of opaque parts."""
    leak_wind: Array
    """Wind part of (leak ratio)², dimensionless: leak = leak_w_k·√(leak_wind + leak_stack·|ΔT|)."""
    sun_air_w: Array
    """Sun turned into sensible heat at the canopy and other light things (air node), W."""
    sun_floor_w: Array
    """Sun absorbed by the soil, W."""
    sun_mass_w: Array
    """Sun absorbed by added mass, W."""
    sun_latent_w: Array
    """Sun set aside for evaporation at crop and soil, W; how much of it does evaporate water goes
    by temperature (`greenhouse_sim.season.vapour`), the rest warms the air."""
    gain_w: Array
    """Heat of lamps, motors, people into the air, W."""
    setpoint: Array
    """Setpoint in force, °C."""
    need_w: Array
    """Heat that a steady balance at the setpoint would need, W (≥ 0)."""
    need_sum_j: Array
    """Shape (hours + 1,): running sum of need_w in J, for 'how much until hour h'."""
    outside_w: Array
    """Shape (hours, some chains): what sun and sky send to the last node of each of the first
    chains, W; a column less for every chain that none reach."""
