"""Heat stores that hang on the air: built one by one, joined into the arrays of `House`."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np


class Chain(NamedTuple):
    """A row of heat-storing nodes from the air to a boundary."""

    node_c: tuple[float, ...]
    """Heat capacities, J/K."""
    node_g: tuple[float, ...]
    """Conductance to the node before (the air for the first), W/K."""
    end_g: float
    """Conductance to the boundary, W/K; 0 for none."""
    end_out: float
    """1.0 for the outdoor air, 0.0 for the deep ground."""
    sun_floor: float
    """Weight of its first node in the sun that falls on the floor."""
    sun_mass: float
    """Weight of its first node in the sun that falls on added mass."""
    heat: float
    """Weight of its first node in heat that is laid in the floor."""
    lit: int = 0
    """The node that takes sun and laid heat: 1 where the crop's air lies before the soil."""
    radiant: float = 0.0
    """Conductance of its first node to the common radiant node of the room, W/K."""


def steady(chain: Chain, inside: float, boundary: float) -> list[float]:
    """Temperatures of the nodes in a steady state between the air and the boundary, °C."""
    if chain.end_g <= 0.0:
        return [inside] * len(chain.node_c)
    steps = np.cumsum([1.0 / g for g in chain.node_g])
    whole = steps[-1] + 1.0 / chain.end_g
    return [inside + (boundary - inside) * float(step) / float(whole) for step in steps]


def steady_conductance(
    chain_start: Any, node_g: Any, end_g: Any, end_out: Any
) -> tuple[float, float]:
    """Conductance of all chains in a steady state, W/K: to outdoors, to the deep ground."""
    total = [0.0, 0.0]
    for k in range(len(end_g)):
        if end_g[k] > 0.0:
            inner = node_g[chain_start[k] : chain_start[k + 1]]
            whole = 1.0 / (float(np.sum(1.0 / inner)) + 1.0 / float(end_g[k]))
            total[0 if end_out[k] > 0.5 else 1] += whole
    return total[0], total[1]


def join(chains: list[Chain], inside: float, deep_ground: float) -> dict[str, np.ndarray]:
    """The chain fields of `House`, starting in the steady state between both temperatures."""
    lengths = [len(chain.node_c) for chain in chains]
    lit = np.array([chain.lit for chain in chains], dtype=np.int64)
    nodes = sum(lengths)
    start = np.zeros(len(chains) + 1, dtype=np.int64)
    start[1:] = np.cumsum(lengths)
    warm = [t for chain in chains for t in steady(chain, inside, deep_ground)]
    star = np.zeros(nodes)
    star[start[:-1]] = [chain.radiant for chain in chains]
    return {
        "chain_start": start,
        "node_c": np.array([c for chain in chains for c in chain.node_c], dtype=float),
        "node_g": np.array([g for chain in chains for g in chain.node_g], dtype=float),
        "end_g": np.array([chain.end_g for chain in chains], dtype=float),
        "end_out": np.array([chain.end_out for chain in chains], dtype=float),
        "node_sun_floor": _lit_nodes(start[:-1] + lit, [c.sun_floor for c in chains], nodes, True),
        "node_sun_mass": _lit_nodes(start[:-1] + lit, [c.sun_mass for c in chains], nodes, False),
        "node_heat": _lit_nodes(start[:-1] + lit, [c.heat for c in chains], nodes, True),
        "node_start": np.array(warm, dtype=float),
        "star_g": star,
    }


def _lit_nodes(lit: np.ndarray, weights: list[float], nodes: int, needed: bool) -> np.ndarray:
    """Weights of the lit nodes scaled to 1; if all are 0 and ``needed``, the very first has all."""
    share = np.zeros(nodes)
    total = sum(weights)
    if total > 0.0:
        share[lit] = np.array(weights) / total
    elif needed and nodes:
        share[0] = 1.0
    return share
