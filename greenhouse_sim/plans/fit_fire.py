"""How a fire burned between the loads that were noted.

Nobody notes how the air was set. What is known is that no more can burn than was loaded, and that
the firebox holds no more than a charge: with L(t) loaded so far, the amount burnt B(t) lies
between L − (charge − first) and L + first − coals. Between these bounds the steadiest fire is the
taut string: as straight as the bounds let it be. It is taken that the firebox is half full at
first, and again at the end. A heater that burns each charge flat out needs none of this.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from greenhouse_sim.heater.numbers import FULL_BURN, Heater
from greenhouse_sim.plans.logger import Load

Array = np.ndarray
HOUR_S = 3600.0


class Tended(NamedTuple):
    """An hour in which the fire was tended."""

    hour: int
    kg: float
    """Put on."""
    setting_w: float
    """Fuel power that the air is taken to be set to until the next, W."""


def tended(loads: Sequence[Load], heater: Heater, hours: int) -> tuple[Tended, ...]:
    """The loads of a log with the air between them; the first entry is the log's first hour."""
    if not loads:
        return ()
    kg: dict[int, float] = {0: 0.0}
    for load in loads:
        kg[load.hour] = kg.get(load.hour, 0.0) + load.kg
    at = sorted(kg)
    put_on = np.array([kg[hour] for hour in at])
    if heater.law == FULL_BURN:
        return tuple(
            Tended(h, float(m), heater.burn_max_w) for h, m in zip(at, put_on, strict=True)
        )
    first = first_fuel(heater)
    loaded = np.cumsum(put_on)
    low = loaded - (heater.charge_kg - first)
    high = loaded - put_on + first - heater.coal_kg
    # a load of more than a charge, as noted: the middle of what cannot be
    middle = 0.5 * (low + high)
    low, high = np.minimum(low, middle), np.maximum(high, middle)
    when = np.array([*at, hours], dtype=float)
    end = float(loaded[-1])
    burnt = taut(when, np.array([0.0, *low[1:], end]), np.array([0.0, *high[1:], end]))
    rate_w = np.diff(burnt) / np.maximum(np.diff(when), 1.0) * heater.heat_j_kg / HOUR_S
    setting = np.clip(rate_w, heater.burn_min_w, heater.burn_max_w)
    return tuple(Tended(h, float(m), float(w)) for h, m, w in zip(at, put_on, setting, strict=True))


def first_fuel(heater: Heater) -> float:
    """What lies in the firebox at the log's beginning, kg."""
    return 0.0 if heater.law == FULL_BURN else 0.5 * heater.charge_kg


def taut(x: Array, low: Array, high: Array) -> Array:
    """The shortest path from the first gate to the last through all gates between.

    Parameters
    ----------
    x
        Where the gates stand, rising, shape (gates,).
    low, high
        Their ends, low ≤ high; the first and last are points.
    """
    y = np.zeros(len(x))
    i, y[0] = 0, low[0]
    last = len(x) - 1
    while i < last:
        j = _bend(x, low, high, i, float(y[i]))
        steepest = (high[j[0]] if j[1] else low[j[0]]) - y[i]
        slope = steepest / (x[j[0]] - x[i])
        y[i + 1 : j[0] + 1] = y[i] + slope * (x[i + 1 : j[0] + 1] - x[i])
        i = j[0]
    return y


def _bend(x: Array, low: Array, high: Array, i: int, y: float) -> tuple[int, bool]:
    """The next gate at which a string from gate ``i`` bends, and whether at its high end."""
    most, least = np.inf, -np.inf
    at_most = at_least = i
    for j in range(i + 1, len(x)):
        up, down = ((ends[j] - y) / (x[j] - x[i]) for ends in (high, low))
        if down > most:
            return at_most, True
        if up < least:
            return at_least, False
        if up <= most:
            most, at_most = up, j
        if down >= least:
            least, at_least = down, j
    return len(x) - 1, True
