"""Which unknown moves an answer most: variance-based indices, and how sure they are.

With A and B two tables of draws, and A_B^i the table A with its column i taken from B, the share
of the variance of f that unknown i causes by itself (first order) and with all that it has a
hand in (total) are

    S_i = mean f(B)·(f(A_B^i) − f(A)) / V,    T_i = ½·mean (f(A) − f(A_B^i))² / V

(Saltelli, Annoni, Azzini, Campolongo, Ratto and Tarantola 2010, Computer Physics Communications
181:259, rows (b) and (f) of table 2, the second by Jansen 1999; from memory, and the same to the
last digits as `scipy.stats.sobol_indices`, whose bootstrap cannot be seeded). V is the variance
over A and B together, f counted from their mean.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

Array = np.ndarray
RESAMPLES = 500
SURE = 0.9
"""Share of resamples that an interval holds."""
LEAST_SPREAD = 1e-12
"""Variance, over the mean square, under which an answer is taken as the same everywhere."""


class Shares(NamedTuple):
    """Shares of a variance by unknown, arrays of shape (unknowns,)."""

    value: Array
    low: Array
    high: Array
    """Bounds that hold `SURE` of the resamples."""


class Indices(NamedTuple):
    """What each unknown has of the variance of one answer."""

    first: Shares
    """Caused by the unknown alone."""
    total: Shares
    """Caused by it alone and together with others."""
    within: Shares
    """The same of the variance that is left where one unknown (a winter) is held; where none
    is, ``total``."""
    on_top: Array
    """Share of the resamples in which an unknown's total is the largest, the held one's aside."""


def indices(
    f_a: Array, f_b: Array, f_ab: Array, held: int | None = None, seed: int = 1
) -> Indices | None:
    """Shares of an answer's variance by unknown, with bootstrap intervals.

    Parameters
    ----------
    f_a, f_b
        The answer for the draws of A and B, shape (draws,).
    f_ab
        The answer for the mixed tables, shape (unknowns, draws).
    held
        Number of an unknown that nobody can know, such as the winter: the others are told as
        shares of what it leaves, too. f(B) and its f(A_B^i) have it alone in common, so half
        their mean square difference is what it leaves.
    seed
        Of the resampling.

    Returns
    -------
    Indices or None
        None where the answer is the same for all draws.
    """
    both = np.concatenate([f_a, f_b])
    if np.var(both) <= LEAST_SPREAD * max(float(np.mean(both * both)), 1e-30):
        return None
    found = _three(f_a, f_b, f_ab, held)
    chance = np.random.default_rng(seed)
    drawn: list[Array] = []
    while len(drawn) < RESAMPLES:
        taken = chance.integers(0, len(f_a), len(f_a))
        a, b = f_a[taken], f_b[taken]
        if np.ptp(np.concatenate([a, b])) > 0.0:
            drawn.append(_three(a, b, f_ab[:, taken], held))
    resampled = np.array(drawn)
    low, high = np.percentile(resampled, [50.0 * (1.0 - SURE), 50.0 * (1.0 + SURE)], axis=0)
    top = np.bincount(np.argmax(resampled[:, 2], axis=1), minlength=len(f_ab)) / RESAMPLES
    parts = [Shares(found[k], low[k], high[k]) for k in range(3)]
    return Indices(parts[0], parts[1], parts[2], top)


def _three(f_a: Array, f_b: Array, f_ab: Array, held: int | None) -> Array:
    """First, total and within, shape (3, unknowns)."""
    first, total = shares(f_a, f_b, f_ab)
    if held is None:
        return np.array([first, total, total])
    left = 0.5 * np.mean((f_b - f_ab[held]) ** 2) / np.var(np.concatenate([f_a, f_b]))
    within = total / left if left > 0.0 else np.zeros_like(total)
    within[held] = 0.0
    return np.array([first, total, within])


def shares(f_a: Array, f_b: Array, f_ab: Array) -> tuple[Array, Array]:
    """First-order and total indices, each of shape (unknowns,)."""
    both = np.concatenate([f_a, f_b])
    variance = np.var(both)
    alone = np.mean((f_b - np.mean(both)) * (f_ab - f_a), axis=1)
    return alone / variance, 0.5 * np.mean((f_a - f_ab) ** 2, axis=1) / variance


def effect(x_a: Array, x_b: Array, f_a: Array, f_ab: Array) -> float:
    """What an answer changes by when one unknown goes from its 10th to its 90th percentile.

    The slope of f(A_B^i) − f(A) over the change of the unknown, least squares through the origin:
    all else is the same within a pair of draws, so that the winter drops out.

    Parameters
    ----------
    x_a, x_b
        The unknown in A and in B, shape (draws,).
    f_a, f_ab
        The answer for A and for A with this column of B, shape (draws,).
    """
    moved = x_b - x_a
    low, high = np.percentile(np.concatenate([x_a, x_b]), [10.0, 90.0])
    return float(np.sum((f_ab - f_a) * moved) / max(np.sum(moved * moved), 1e-30) * (high - low))
