"""The slow parts of a house as one linear network, its massless nodes eliminated.

Nodes i of capacity C_i, joined to each other, to the air a, the outdoor air o and the deep
ground u, and taking up heat q:

    C·dT/dt = −K·T + g_a·a + g_o·o + g_u·u + q

Each node may also be joined by s_i to a common radiant node without capacity (`House.star_g`).
That node stands at Σ s·T / Σ s; eliminated, it leaves −s·sᵀ/Σ s beside s on the diagonal of K.

Inner surfaces have no capacity either. With Q for nodes without and S for nodes with capacity,
T_Q = G·(−K_QS·T_S + g_a·a + g_o·o + q)_Q with G = K_QQ⁻¹, and so

    K' = K_SS − K_SQ·G·K_QS,   g' = g_S − K_SQ·G·g_Q,   q' = q_S − K_SQ·G·q_Q.

What goes through a massless node at once: g_aᵀ·G·g_o joins the air to outdoors, and of a watt
sent there g_aᵀ·G reaches the air, g_oᵀ·G the outdoor air. (Gaussian elimination; the deep ground
is always reached through soil, which has capacity.)
"""

from __future__ import annotations

import functools
from typing import NamedTuple

import numpy as np

from greenhouse_sim.greenhouse.numbers import Array, House

MOST_KEPT = 64
"""Greenhouses whose slow parts are kept as they were worked out while the program runs."""
JOINED_BY = (
    "chain_start", "node_c", "node_g", "end_g", "end_out", "star_g", "node_sun_floor",
    "node_sun_mass", "node_heat", "node_gain", "crop_covered",
)  # fmt: skip
"""Fields of `House` that say how its slow parts are joined and what reaches them."""


class Joined:
    """A house told apart by `JOINED_BY` alone: the same in every winter, however it begins."""

    def __init__(self, house: House) -> None:
        self.house = house
        self._name = tuple(np.asarray(getattr(house, one)).tobytes() for one in JOINED_BY)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Joined) and self._name == other._name

    def __hash__(self) -> int:
        return hash(self._name)


class Network(NamedTuple):
    """What is left: the nodes that store heat, and what passes them by."""

    capacity: Array
    """J/K, shape (kept,)."""
    matrix: Array
    """K', W/K, shape (kept, kept)."""
    air: Array
    """Conductance of each to the air, W/K."""
    out: Array
    """To the outdoor air."""
    ground: Array
    """To the deep ground."""
    air_out: float
    """Conductance from the air to outdoors through massless nodes, W/K."""
    place: Array
    """Share of a watt at each node that each kept node takes at once, shape (kept, nodes)."""
    to_air: Array
    """Share of a watt at each node that the air takes at once, shape (nodes,)."""
    to_out: Array
    """Share of it that outdoors takes at once."""


def conductances(house: House) -> tuple[Array, Array, Array, Array]:
    """K (nodes × nodes) and the nodes' conductances to air, outdoors and ground, W/K."""
    count = len(house.node_c)
    matrix = np.zeros((count, count))
    air, out, ground = np.zeros(count), np.zeros(count), np.zeros(count)
    for k, end_g in enumerate(house.end_g):
        start, stop = int(house.chain_start[k]), int(house.chain_start[k + 1])
        air[start] = house.node_g[start]
        for i in range(start + 1, stop):
            g = house.node_g[i]
            matrix[i, i] += g
            matrix[i - 1, i - 1] += g
            matrix[i, i - 1] -= g
            matrix[i - 1, i] -= g
        (out if house.end_out[k] > 0.5 else ground)[stop - 1] = end_g
    star = house.star_g + np.zeros(count)
    matrix[np.diag_indices(count)] += air + out + ground + star
    if np.any(star > 0.0):
        matrix -= np.outer(star, star) / star.sum()
    return matrix, air, out, ground


def network(house: House) -> Network:
    """The house's slow parts (see above)."""
    matrix, air, out, ground = conductances(house)
    held = house.node_c > 0.0
    kept, quick = np.flatnonzero(held), np.flatnonzero(~held)
    here, carry = matrix[np.ix_(kept, kept)], np.zeros((len(kept), len(quick)))
    to_air, to_out = np.zeros(len(held)), np.zeros(len(held))
    place = np.zeros((len(kept), len(held)))
    place[np.arange(len(kept)), kept] = 1.0
    if not len(quick):
        return Network(house.node_c, here, air, out, ground, 0.0, place, to_air, to_out)
    inverse = np.linalg.inv(matrix[np.ix_(quick, quick)])
    across = matrix[np.ix_(kept, quick)]
    carry = -across @ inverse
    place[:, quick] = carry
    to_air[quick], to_out[quick] = inverse @ air[quick], inverse @ out[quick]
    here = here + carry @ across.T
    return Network(
        house.node_c[kept],
        0.5 * (here + here.T),
        air[kept] + carry @ air[quick],
        out[kept] + carry @ out[quick],
        ground[kept],
        float(air[quick] @ to_out[quick]),
        place,
        to_air,
        to_out,
    )


def last_nodes(house: House) -> Array:
    """The last node of each chain, int64, shape (chains,)."""
    return np.asarray(house.chain_start[1:] - 1, dtype=np.int64)


def steady_shares(house: House) -> tuple[Array, float, float]:
    """Of a watt at each node the share that reaches the air in a steady state, shape (nodes,);
    and what joins the air through all nodes to outdoors and to the deep ground, W/K."""
    return _steady_shares(Joined(house))


@functools.lru_cache(maxsize=MOST_KEPT)
def _steady_shares(joined: Joined) -> tuple[Array, float, float]:
    """Kept: a greenhouse stands in many winters."""
    matrix, air, out, ground = conductances(joined.house)
    share = np.linalg.solve(matrix, air)
    return share, float(share @ out), float(share @ ground)
