"""A small network of conductances and capacities as air with chains of one node each.

The kernel knows one air node with chains on it. Any linear network with one air node can be
brought to that form exactly. Nodes without capacity (surfaces) are eliminated; the slow nodes x
that are left obey

    C x' = −K x + k·T_air + o·T_out + B·q,     heat into the air = kᵀ·x − g·T_air + d·q

and with C^−½ K C^−½ = V Λ Vᵀ every mode z = Vᵀ C^½ x moves alone, driven by air and outdoors.
Scaled so that it stands at 1 where air and outdoors stand at 1, a mode is a chain of one node:
capacity α², p·α to the air, r·α to outdoors, with p, r its drives and α = (p + r)/λ.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from greenhouse_sim.greenhouse.numbers import House


class Modes(NamedTuple):
    """The chains, and where heat that is sent to a node of the network ends."""

    capacity: np.ndarray
    """J/K, shape (modes,)."""
    to_air: np.ndarray
    """Conductance to the air, W/K."""
    to_outdoors: np.ndarray
    """Conductance to the outdoor air, W/K."""
    air_outdoors: float
    """Conductance between air and outdoors past the chains, W/K."""
    share: np.ndarray
    """Heat in each mode for 1 W at each node, shape (modes, nodes)."""
    air_share: np.ndarray
    """Heat in the air at once for 1 W at each node, shape (nodes,)."""


def modes(
    capacity: list[float], links: dict[tuple[int, int], float], outdoors: dict[int, float]
) -> Modes:
    """Bring a network to air with chains.

    Parameters
    ----------
    capacity
        J/K of each node, 0 for a surface; node 0 is the air (its own capacity is not used).
    links
        Conductance between two nodes, W/K.
    outdoors
        Conductance of a node to outdoors, W/K.
    """
    count = len(capacity)
    flow = np.zeros((count, count))
    for (i, j), g in links.items():
        flow[[i, j], [i, j]] += g
        flow[[i, j], [j, i]] -= g
    out = np.zeros(count)
    for i, g in outdoors.items():
        flow[i, i] += g
        out[i] += g
    slow = [i for i in range(1, count) if capacity[i] > 0.0]
    quick = [i for i in range(1, count) if capacity[i] <= 0.0]
    kept = [0, *slow]
    spread = np.linalg.solve(flow[np.ix_(quick, quick)], np.eye(len(quick)))
    carry = -flow[np.ix_(kept, quick)] @ spread
    reduced = flow[np.ix_(kept, kept)] + carry @ flow[np.ix_(quick, kept)]
    out_kept = out[kept] + carry @ out[quick]
    at = np.zeros((len(kept), count))
    at[np.arange(len(kept)), kept] = 1.0
    at[:, quick] = carry
    root = np.sqrt(np.array([capacity[i] for i in slow]))
    rate, turn = np.linalg.eigh(reduced[1:, 1:] / np.outer(root, root))
    weigh = turn.T / root
    air, outside = weigh @ -reduced[1:, 0], weigh @ out_kept[1:]
    alpha = (air + outside) / rate
    return Modes(
        alpha * alpha, alpha * air, alpha * outside, float(out_kept[0]),
        alpha[:, np.newaxis] * (weigh @ at[1:]), at[0],
    )  # fmt: skip


def house_of(found: Modes, air_c: float, start: float, sun: np.ndarray, mass: np.ndarray) -> House:
    """The network as the kernel sees it, starting at one temperature.

    ``sun`` and ``mass`` are the shares of two sources in each mode; what they send to the air at
    once is the caller's to add.
    """
    count = len(found.capacity)
    return House(
        **{
            **dict.fromkeys(House._fields, 0.0),
            "floor_m2": 1.0,
            "air_c": air_c,
            "quick_c": air_c,
            "vent_at": 1.0e6,
            "damage_below": -1.0e6,
            "chain_start": np.arange(count + 1, dtype=np.int64),
            "node_c": found.capacity,
            "node_g": found.to_air,
            "end_g": found.to_outdoors,
            "end_out": np.ones(count),
            "node_sun_floor": sun,
            "node_sun_mass": mass,
            "node_heat": np.zeros(count),
            "node_start": np.full(count, start),
        }
    )
