"""A winter into which another heater already gives heat, known hour by hour."""

from __future__ import annotations

import numpy as np

from greenhouse_sim.season import tally as at
from greenhouse_sim.season.modes import HOUR_S, Walk
from greenhouse_sim.season.run import Winter

Array = np.ndarray


def with_heat(winter: Winter, given_W: Array, floor_share: float) -> Winter:
    """The winter with this heat in it, as an internal gain.

    Parameters
    ----------
    winter
        The winter.
    given_W
        Mean of each hour, W, shape (hours,).
    floor_share
        Share of it that goes to the soil, as a heater's own does.
    """
    return winter._replace(walk=walk_with(winter.walk, given_W, floor_share))


def walk_with(walk: Walk, given_W: Array, floor_share: float) -> Walk:
    """The same for a walk; see `with_heat`."""
    links = walk.slow.links
    laid = floor_share if np.any(walk.house.node_heat > 0.0) else 0.0
    floor_W = laid * given_W
    into = np.outer(floor_W, links.heat)
    push_w = (
        walk.hours.push_w
        + given_W - floor_W
        + links.to_air.heat * floor_W
        + into @ (links.mean_gain * links.air)
    )  # fmt: skip
    hours = walk.hours._replace(
        push_w=push_w,
        into_modes=np.ascontiguousarray(walk.hours.into_modes + into * links.end_gain),
    )
    total = walk.known.total.copy()
    total[at.GAIN_J] += HOUR_S * given_W.sum()
    known = walk.known._replace(
        total=total,
        constant_w=walk.known.constant_w + links.to_out.heat * float(floor_W.sum()),
        into_modes=walk.known.into_modes + into.sum(axis=0),
    )
    return walk._replace(hours=hours, known=known)
