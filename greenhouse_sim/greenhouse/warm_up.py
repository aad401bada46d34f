"""The state of the soil on the first day of the season.

Soil remembers for weeks. It starts as undisturbed ground (`undisturbed`) some weeks before the
season and is stepped to the first day under a house that stands there already: its air is as
warm as the crop wants at first, or as the outdoor air of those days (their yearly wave) where
that is warmer, since an unheated house in late summer follows the outdoors. Sun on the soil and
what earlier winters left below are not counted.

Stepping is by days and implicit (backward Euler), so it cannot swing:

    (C/Δt + G)·T¹ = C/Δt·T⁰ + g_air·T_air + g_end·T_below

with the diagonal C of heat capacities and the tridiagonal G of conductances between the nodes.
"""

from __future__ import annotations

import numpy as np

from greenhouse_sim.greenhouse.ground import Ground, middles_m
from greenhouse_sim.greenhouse.numbers import House
from greenhouse_sim.greenhouse.table import soil
from greenhouse_sim.greenhouse.undisturbed import DAY_S, Array, undisturbed_C


def warmed(
    house: House, ground: Ground, first_day: float, setpoint_C: float, days: int | None = None
) -> House:
    """The house with its soil as it is on the first day of the season.

    Parameters
    ----------
    house
        As built; one without soil comes back as it is.
    ground
        The ground around it.
    first_day
        Day of the year on which the season starts.
    setpoint_C
        Mean setpoint of the first days, °C.
    days
        Length of the warm-up; the table's where not given.
    """
    if not has_soil(house):
        return house
    count = int(soil("warm_up")) if days is None else days
    day = first_day - count + 0.5 + np.arange(count)
    air = np.maximum(setpoint_C, undisturbed_C(ground.outdoors, 0.0, ground.damping_m, day))
    nodes = slice(0, int(house.chain_start[1]))
    depth = middles_m()
    start = house.node_start[nodes].copy()
    before = np.array(first_day - count, dtype=float)
    start[-len(depth) :] = undisturbed_C(ground.under, depth, ground.damping_m, before)
    links = (house.node_c[nodes], house.node_g[nodes], float(house.end_g[0]))
    ready = house.node_start.copy()
    ready[nodes] = stepped(start, *links, air, ground.below_C(day))
    return house._replace(node_start=ready)


def has_soil(house: House) -> bool:
    """Whether the first chain is the soil: it alone reaches the deep ground."""
    return len(house.end_g) > 0 and house.end_out[0] < 0.5 and float(house.end_g[0]) > 0.0


def stepped(
    start: Array, node_c: Array, node_g: Array, end_g: float, air_C: Array, below_C: Array
) -> Array:
    """A chain after as many days as ``air_C`` and ``below_C`` have, °C.

    Parameters
    ----------
    start
        Temperatures at first, °C, shape (nodes,).
    node_c, node_g, end_g
        As in `House`, J/K and W/K.
    air_C, below_C
        Daily means before the first node and behind the last, shape (days,).
    """
    after = np.append(node_g[1:], end_g)
    matrix = np.diag(node_c / DAY_S + node_g + after)
    matrix -= np.diag(node_g[1:], 1) + np.diag(node_g[1:], -1)
    inverse = np.linalg.inv(matrix)
    t = np.array(start, dtype=float)
    keep = node_c / DAY_S
    from_air, from_below = (node_g[0] * air_C).tolist(), (end_g * below_C).tolist()
    for air_w, below_w in zip(from_air, from_below, strict=True):
        right = keep * t
        right[0] += air_w
        right[-1] += below_w
        t = inverse @ right
    return t
