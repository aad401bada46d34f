"""The air after the last load, hour by hour: how the greenhouse coasts down."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from greenhouse_sim.plans.absence import Absence
from greenhouse_sim.plans.departures import leaving, nobody
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.branch import fire_is_out
from greenhouse_sim.season.many import Task, first_state

Array = np.ndarray
COAST_H = 48
"""Hours that are drawn."""
AIR, FUEL = (at.TRACE.index(name) for name in ("air_C", "fuel_left_kg"))


class Curve(NamedTuple):
    """One evening left alone. Arrays of shape (hours,)."""

    winter: str
    start: np.datetime64
    air: Array
    """°C."""
    out: Array
    setpoint: Array
    fire_out_h: float
    """Hours until the fire was out; inf where it was not within these."""


class Coast(NamedTuple):
    """The coast-down of the middle winter, and of the coldest evening."""

    middle: tuple[Curve, ...]
    """The evenings of the middle winter's coldest month."""
    month: str
    coldest: Curve
    """The evening of all winters after which the coldest two days come."""


def alone_trace(
    function: Callable, task: Task, starts: Array, gap_h: Array, hours: int, *, backup: bool = True
) -> Array:
    """Traces of the hours after departures, shape (departures, hours, tally.TRACE_SIZE).

    Parameters
    ----------
    function
        The season function of an engine (`greenhouse_sim.season.many.engine_for`).
    task
        The season.
    starts
        Hours of departure, rising, each with ``hours`` hours after it.
    gap_h
        Hours for which the grower loads at each departure.
    hours
        Hours to run.
    backup
        Whether the season's back-up runs on.
    """
    house, slow, walk_hours, _ = task.walk
    away = leaving(task.calendar, starts, gap_h), nobody(task.calendar)
    state, table = first_state(task), slow.modes.table.copy()
    traces = np.zeros((len(starts), hours, at.TRACE_SIZE))
    own = task.backup if backup else task.backup._replace(max_w=0.0)

    def run(days: object, heat: object, first: int, last: int, where: tuple, trace: Array) -> None:
        function(
            house, slow.modes, walk_hours, days, task.habits, task.heater, heat, first, last,
            *where, at.empty(), np.zeros(at.MONTHS), trace,
        )  # fmt: skip

    first = 0
    for trace, start in zip(traces, starts, strict=True):
        run(task.calendar, task.backup, first, int(start), (state, table), trace[:0])
        first = int(start)
        copied = state.copy(), table.copy()
        run(away[0], own, first, first + 1, copied, trace[:1])
        run(away[1], own, first + 1, first + hours, copied, trace[1:])
    return traces


def coast(found: Absence, tasks: Sequence[Task], function: Callable) -> Coast | None:
    """Curves of the middle winter's coldest month and of the coldest evening, without back-up.

    None in a season too short for them.
    """
    needs = [float(one.walk.hours.need_sum_j[-1]) for one in tasks]
    mid = int(np.argsort(needs)[len(needs) // 2])
    winter, when = found.winters[mid], found.evenings
    out = winter.drive.t_out
    names = [f"{day:%Y-%m}" for day in when.days]
    starts = when.starts[mid]
    fits = (starts >= 0) & (starts + COAST_H <= len(out))
    if not fits.any():
        return None

    def chill(i: int) -> float:
        return float(out[starts[i] : starts[i] + 24].mean())

    means = {
        name: float(np.mean([chill(i) for i in range(len(names)) if names[i] == name and fits[i]]))
        for name in dict.fromkeys(n for n, fit in zip(names, fits, strict=True) if fit)
    }
    month = min(means, key=lambda name: means[name])
    chosen = [i for i, name in enumerate(names) if name == month and fits[i]]
    middle = _curves(found, tasks[mid], mid, chosen, function)
    return Coast(middle, month, _coldest(found, tasks, function))


def _coldest(found: Absence, tasks: Sequence[Task], function: Callable) -> Curve:
    best: tuple[float, int, int] = (np.inf, 0, 0)
    for w, winter in enumerate(found.winters):
        out = winter.drive.t_out
        total = np.concatenate([[0.0], np.cumsum(out)])
        starts = found.evenings.starts[w]
        for i in np.flatnonzero((starts >= 0) & (starts + COAST_H <= len(out))):
            mean = (total[starts[i] + COAST_H] - total[starts[i]]) / COAST_H
            best = min(best, (float(mean), w, int(i)))
    _, w, place = best
    return _curves(found, tasks[w], w, [place], function)[0]


def _curves(
    found: Absence, task: Task, w: int, places: list[int], function: Callable
) -> tuple[Curve, ...]:
    starts, gap_h = found.evenings.starts[w, places], found.gap_h[w, places]
    traces = alone_trace(function, task, starts, gap_h, COAST_H, backup=False)
    winter = found.winters[w]
    times = winter.weather.times()
    curves = []
    for start, trace in zip(starts, traces, strict=True):
        part = slice(int(start), int(start) + COAST_H)
        dead = [h for h in range(COAST_H) if fire_is_out(task.heater, trace[h, FUEL])]
        curves.append(
            Curve(
                winter.weather.name,
                times[start],
                trace[:, AIR],
                winter.drive.t_out[part],
                winter.drive.setpoint[part],
                float(dead[0]) if dead else np.inf,
            )
        )
    return tuple(curves)
