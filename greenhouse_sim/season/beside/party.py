"""Seasons that run side by side: laid out in lanes, run, and handed back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import numpy as np

from greenhouse_sim.routine.numbers import Calendar
from greenhouse_sim.season.beside.ends import constants
from greenhouse_sim.season.beside.lanes import (
    BY_HOUR,
    HEATER,
    LANES,
    LEAK_REF,
    NO_STORE,
    PULL,
    QUAD,
    SIZE,
    SOIL,
    TAB,
    Ends,
    Kind,
    Winter,
    kind_of,
)
from greenhouse_sim.season.beside.opening import DAY_H
from greenhouse_sim.season.numbers import Array, Hours

if TYPE_CHECKING:
    from greenhouse_sim.season.many import Task, _Ready

LINE = 8
"""Floats in a cache line of 64 bytes: four that are added at once must not lie in two."""
CONSTANTS = slice(LEAK_REF // LANES, PULL // LANES)
HEATERS = slice(HEATER // LANES, SIZE // LANES)
"""Rows of the work array that a season brings."""


def run_beside(function: Callable, some: Sequence[_Ready]) -> None:
    """Run seasons side by side; in lanes left over the last once more."""
    filled = [*some, *[some[-1]] * (-len(some) % QUAD)]
    tasks = [one.task for one in filled]
    first = tasks[0]
    modes = len(first.walk.slow.modes.table)
    work, tab = _aligned(SIZE // LANES, LANES), _aligned(modes, TAB)
    work[CONSTANTS, : len(tasks)] = np.array([_constants(task) for task in tasks]).T
    work[HEATERS, : len(tasks)] = np.array([task.heater for task in tasks]).T
    soil = np.array([task.walk.slow.modes.soil for task in tasks])
    tab[:, SOIL : SOIL + len(tasks)] = soil.T
    ends = Ends(
        np.array([one.state for one in filled]),
        np.array([one.table for one in filled]),
        np.array([one.tallied.total for one in filled]),
        np.array([one.tallied.month_kg for one in filled]),
        np.array([one.tallied.trace for one in filled]),
    )
    lanes = [*tasks, *[first] * (LANES - len(tasks))]
    alike = all(
        task.walk.hours is first.walk.hours and task.calendar is first.calendar for task in tasks
    )
    function(
        kind_of(first.walk.house, first.heater, alike),
        tuple(Winter(task.walk.hours, task.calendar) for task in lanes),
        tuple(task.walk.hours.need_sum_j for task in lanes),
        ends,
        work.reshape(-1),
        tab,
        _aligned(DAY_H, (BY_HOUR + modes) * LANES),
        len(tasks) // QUAD,
    )
    for lane, one in enumerate(some):
        one.state[:] = ends.states[lane]
        one.table[:] = ends.tables[lane]
        one.tallied.total[:] = ends.totals[lane]
        one.tallied.month_kg[:] = ends.months_kg[lane]
        one.tallied.trace[:] = ends.traces[lane]


def compile_now(function: Callable) -> None:
    """Have the loop compiled, by running no seasons."""
    none = np.zeros(0)
    hours = Hours(none, none, none, none, none, none, none, np.zeros((0, 1)), none)
    winter = Winter(hours, Calendar(*[none] * 7))
    two, three = np.zeros((0, 0)), np.zeros((0, 0, 0))
    ends = Ends(two, three, two, two, three)
    kind = Kind(0.0, NO_STORE, covered=0, alike=0)
    room = np.zeros((0, 0))
    function(kind, (winter,) * LANES, (none,) * LANES, ends, none, room, room, 0)


def _constants(task: Task) -> tuple[float, ...]:
    house, slow, _, _ = task.walk
    held = constants(house, slow.modes, task.heater, task.backup)
    return (*held, *task.habits, *task.backup)


def _aligned(rows: int, columns: int) -> Array:
    block = np.zeros(rows * columns + LINE)
    start = -(block.ctypes.data // block.itemsize) % LINE
    return block[start : start + rows * columns].reshape(rows, columns)
