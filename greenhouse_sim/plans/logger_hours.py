"""The hours' means of a logger's readings, by what a reading stands for.

A reading of a moment is joined to the next by a straight line; a mean holds over its whole step.
Either way the mean of an hour is the area under it. A mean that is taken for a moment comes half a
step late and smoothed: with steps of an hour the air is moved against sun and wind, and the heat
capacity and the leaks are found wrong.
"""

from __future__ import annotations

import numpy as np

from greenhouse_sim.tables.read import read_keyed

Array = np.ndarray
HOUR_S = 3600.0
SPOT, MEANS, MEANS_AFTER = "spot", "means", "means-after"
"""Of the moment of its stamp; the mean of the step that ends there; of that which begins there."""
KNOWN_SHARE = 0.9
"""An hour is known where readings cover this share of it."""
LONG_STEP = 1.5
"""What is further apart than this many usual steps has a gap between (judgement)."""


def spans(seconds: Array, readings: str) -> tuple[Array, Array]:
    """Beginning and end of what each reading stands for, s: the same for a reading of a moment.

    Parameters
    ----------
    seconds
        Stamps, rising, shape (readings,).
    readings
        `SPOT`, `MEANS` or `MEANS_AFTER`.
    """
    if readings == SPOT or len(seconds) < 2:
        return seconds, seconds
    apart = np.diff(seconds)
    usual = float(np.median(apart))
    held = np.where(apart <= LONG_STEP * usual, apart, usual)
    if readings == MEANS:
        return seconds - np.concatenate([[usual], held]), seconds
    return seconds, seconds + np.concatenate([held, [usual]])


def hour_means(seconds: Array, values: Array, first: int, count: int, readings: str) -> Array:
    """Means of whole hours; nan where too little is known.

    Parameters
    ----------
    seconds, values
        Stamps, rising, and what was read, nan where nothing; shape (readings,).
    first, count
        Number of the first hour since the epoch, and how many.
    readings
        As in `spans`.
    """
    known = ~np.isnan(values)
    if known.sum() < 2:
        return np.full(count, np.nan)
    if readings == SPOT:
        return _of_lines(seconds[known].astype(float), values[known], first, count)
    begin, end = (edge[known] for edge in spans(seconds, readings))
    return _of_blocks(begin, end, values[known], first, count)


def _of_lines(at: Array, read: Array, first: int, count: int) -> Array:
    """Readings joined by straight lines."""
    bounds = (first + np.arange(count + 1)) * HOUR_S
    nodes = np.unique(np.concatenate([at, bounds]))
    level = np.interp(nodes, at, read)
    span = np.diff(nodes)
    middle = nodes[:-1] + 0.5 * span
    after = np.clip(np.searchsorted(at, middle), 1, len(at) - 1)
    near = np.diff(at)[after - 1] <= read_keyed("fit")["longest_gap"].number * HOUR_S
    good = near & (middle > at[0]) & (middle < at[-1])
    hour = (middle // HOUR_S).astype(int) - first
    good &= (hour >= 0) & (hour < count)
    weight = np.bincount(hour[good], span[good], count)
    total = np.bincount(hour[good], (span * 0.5 * (level[1:] + level[:-1]))[good], count)
    return _known_means(total, weight)


def _of_blocks(begin: Array, end: Array, read: Array, first: int, count: int) -> Array:
    """Readings that hold from their beginning to their end.

    The time covered and the area under the readings grow along straight lines from edge to edge,
    so what falls into an hour is what they grow by from its one bound to the other.
    """
    lasts = end - begin
    at = np.stack([begin, end], axis=1).ravel()
    covered, area = (
        np.stack([np.cumsum(part) - part, np.cumsum(part)], axis=1).ravel()
        for part in (lasts, lasts * read)
    )
    bounds = (first + np.arange(count + 1)) * HOUR_S
    weight, total = (np.diff(np.interp(bounds, at, grown)) for grown in (covered, area))
    return _known_means(total, weight)


def _known_means(total: Array, weight: Array) -> Array:
    enough = weight >= KNOWN_SHARE * HOUR_S
    return np.where(enough, total / np.maximum(weight, 1.0), np.nan)
