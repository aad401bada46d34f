r"""The departure of a day's mean temperature from its season's course.

A standard departure is a fast and a slow part,

.. math:: g = \sqrt{1 - f}\,x + \sqrt{f}\,z

``x`` is an autoregression of the order of the lags given (Richardson 1981, Water Resour. Res.
17:182, who used one; the coefficients by Yule and Walker), ``z`` one of first order that takes
``season_days`` to fade. Weather generators without ``z`` make seasons too alike
("overdispersion": Katz and Parlange 1998, J. Climate 11:591, from memory); a low-frequency
part that is added to the daily one mends it (Hansen and Mavromatis 2001, Agric. For. Meteorol.
109:283). The lags are those of ``g`` as a record shows them: those of ``x`` follow from

.. math:: r_k = (1 - f)\,\rho_k + f\,e^{-k/\tau}

Then ``g`` is bent to the skewness :math:`\gamma` of the season by the first term of Cornish
and Fisher's expansion (1937, from memory), with mean 0 and variance 1 kept:
:math:`(g + \gamma/6\,(g^2 - 1)) / \sqrt{1 + \gamma^2/18}`; the skewness that results is
:math:`\gamma` within a hundredth up to :math:`|\gamma| = 0.5`.

Cold spells last a little longer in nature than mild ones at some places. An autoregression whose
weights depend on the sign of yesterday's departure (a threshold autoregression, Tong 1983, from
memory) would give that; but it foretold the days of years or months that were left out of its fit
worse than this one in the winters of five of six stations (Lansing's first five years, the
typical years of Greensboro, Denver and International Falls, Burlington's 2018; not Sand Point).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

Array = np.ndarray
SPIN_UP = 150
"""Days before the first that is used; the fast part has forgotten its start by then."""


class Memory(NamedTuple):
    """What the departure of a day remembers of the days before."""

    weights: Array
    """Of the fast part's last days, newest first."""
    shock: float
    """Standard deviation of what is new in the fast part each day."""
    share: float
    """Share of the variance in the slow part."""
    fade: float
    """Correlation of the slow part from day to day."""
    known: Array
    """The fast part's own correlations at 0, 1, 2... days."""


def memory(lags: tuple[float, ...], share: float, season_days: float) -> Memory:
    """The memory that gives a departure these lag correlations.

    Raises
    ------
    ValueError
        No process has these correlations (beside a slow part of that share).
    """
    fade = float(np.exp(-1.0 / season_days))
    order = np.arange(1, len(lags) + 1)
    fast = (np.asarray(lags) - share * fade**order) / (1.0 - share)
    row = np.concatenate([[1.0], fast])
    table = row[np.abs(np.subtract.outer(order, order))]
    if np.linalg.eigvalsh(table).min() <= 1e-9:
        raise ValueError("no process has these lag correlations")
    weights = np.linalg.solve(table, fast)
    left = 1.0 - float(weights @ fast)
    if left <= 1e-9:
        raise ValueError("no process has these lag correlations")
    return Memory(weights, float(np.sqrt(left)), share, fade, row)


def departures(held: Memory, days: int, chance: np.random.Generator) -> Array:
    """Standard departures of consecutive days, normal with mean 0 and variance 1."""
    from scipy.signal import lfilter

    shocks = held.shock * chance.standard_normal(SPIN_UP + days)
    fast = lfilter([1.0], np.concatenate([[1.0], -held.weights]), shocks)[SPIN_UP:]
    slow = persistent(held.fade, days, chance)
    return np.sqrt(1.0 - held.share) * fast + np.sqrt(held.share) * slow


def persistent(lag: float, count: int, chance: np.random.Generator) -> Array:
    """First-order autoregression with mean 0 and variance 1, stationary from its first value."""
    from scipy.signal import lfilter

    shocks = chance.standard_normal(count)
    shocks[1:] *= np.sqrt(1.0 - lag * lag)
    return np.asarray(lfilter([1.0], [1.0, -lag], shocks))


def bent(g: Array, skew: Array | float) -> Array:
    """Normal numbers with this skewness, mean 0 and variance 1 kept."""
    sixth = np.asarray(skew) / 6.0
    return (g + sixth * (g * g - 1.0)) / np.sqrt(1.0 + 2.0 * sixth * sixth)


def correlations(held: Memory, most: int) -> Array:
    """Correlation of the departure with itself 0 to ``most`` days before."""
    order = len(held.weights)
    fast = list(held.known)
    while len(fast) <= most:
        fast.append(float(held.weights @ np.array(fast[: -order - 1 : -1])))
    days = np.arange(most + 1)
    return (1.0 - held.share) * np.array(fast[: most + 1]) + held.share * held.fade**days


def mean_variance(held: Memory, days: int) -> float:
    """Variance of the mean of the standard departure over so many consecutive days."""
    r = correlations(held, days - 1)
    away = np.arange(1, days)
    return float((1.0 + 2.0 * np.sum((1.0 - away / days) * r[1:])) / days)
