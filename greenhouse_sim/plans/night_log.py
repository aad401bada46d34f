"""Every night of every winter: times up, cold hours, how cold it was outside."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import NamedTuple

import numpy as np

from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import Tallied
from greenhouse_sim.season.run import Winter

Array = np.ndarray
WOKEN, CAUSE = at.TRACE.index("woken"), at.TRACE.index("cause")
EVENING_H = 12
"""Hours after midnight up to which an hour belongs to the evening before."""


class Night(NamedTuple):
    """One stretch of sleep."""

    winter: str
    evening: date
    """Day on which the night begins."""
    times_up: int
    cold_h: int
    """Hours of the night more than 0.5 K under the setpoint."""
    out_C: float
    """Coldest hour outside, °C."""


class Edge(NamedTuple):
    """What weather the heater stands through without a visit."""

    coldest_unwoken: Night | None
    """Coldest night on which nobody got up."""
    coldest_unvisited: Night | None
    """Coldest night on which nobody got up and no hour was cold."""
    mildest_woken: Night | None
    """Mildest night on which somebody got up."""
    half_C: float | None
    """Of the nights with a coldest hour under this, half or more needed somebody; None for none."""
    half_of_all: bool
    """Half or more of all nights needed somebody."""


def night_log(winters: Sequence[Winter], runs: Sequence[Tallied]) -> tuple[Night, ...]:
    """All whole nights of traced seasons, in order: one that the season's ends cut is left out."""
    found: list[Night] = []
    for winter, run in zip(winters, runs, strict=True):
        asleep = np.flatnonzero(winter.calendar.night >= 0.0)
        if not len(asleep):
            continue
        falls = np.flatnonzero(np.diff(winter.calendar.night[asleep], prepend=-1.0) != 0.0)
        first, last = asleep[falls], asleep[np.append(falls[1:], len(asleep)) - 1]
        woken = np.add.reduceat(run.trace[asleep, WOKEN], falls)
        cold = np.add.reduceat((run.trace[asleep, CAUSE] > 0.0).astype(int), falls)
        out = np.minimum.reduceat(winter.weather.t_out_C[asleep], falls)
        whole = (first != 0) & (last != winter.calendar.night.size - 1)
        found += [
            Night(winter.weather.name, _evening(winter, int(hour)), int(up), int(h), float(t))
            for hour, up, h, t in zip(
                first[whole], woken[whole], cold[whole], out[whole], strict=True
            )
        ]
    return tuple(found)


def _evening(winter: Winter, hour: int) -> date:
    begins = winter.weather.start + timedelta(hours=hour)
    return (begins - timedelta(hours=EVENING_H)).date()


def edge(nights: Sequence[Night]) -> Edge:
    """The coldest night that needs no visit, and the mildest that does."""
    unwoken = [one for one in nights if one.times_up == 0]
    woken = [one for one in nights if one.times_up > 0]
    warm = [one for one in unwoken if one.cold_h == 0]

    def coldest(some: list[Night]) -> Night | None:
        return min(some, key=lambda one: one.out_C, default=None)

    return Edge(
        coldest(unwoken),
        coldest(warm),
        max(woken, key=lambda one: one.out_C, default=None),
        _half_C(nights),
        bool(nights) and len(woken) * 2 >= len(nights),
    )


def _half_C(nights: Sequence[Night]) -> float | None:
    """Warmest temperature such that at least half of all colder nights needed somebody."""
    order = sorted(nights, key=lambda one: one.out_C)
    up = np.cumsum([one.times_up > 0 for one in order])
    enough = np.flatnonzero(up * 2 >= np.arange(1, len(order) + 1))
    return order[int(enough[-1])].out_C if len(enough) else None
