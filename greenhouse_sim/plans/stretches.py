"""A season in stretches: the fire is put out, or the back-up's tank runs empty, on the way."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from greenhouse_sim.heater.backup import backup_numbers
from greenhouse_sim.season import numbers as now
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import Tallied, Task, engine_for, first_state
from greenhouse_sim.season.modes import close_books


class Turn(NamedTuple):
    """What changes at the beginning of an hour."""

    hour: int
    put_out: bool = False
    """The fire is put out, and what is in the firebox taken out with it."""
    tank_empty: bool = False
    """From here on there is no back-up."""


def run_in_stretches(task: Task, turns: Sequence[Turn], engine: str) -> Tallied:
    """Run one season, as `greenhouse_sim.season.many.run_one`, with turns on the way.

    Parameters
    ----------
    task
        The season.
    turns
        In any order.
    engine
        "python" or "compiled".
    """
    function = engine_for(engine)
    house, slow, hours, _ = task.walk
    last = hours.t_out.shape[0]
    total, month_kg = at.empty(), np.zeros(at.MONTHS)
    trace = np.zeros((last if task.traced else 0, at.TRACE_SIZE))
    begun = first_state(task)
    state, table = begun.copy(), slow.modes.table.copy()
    backup = task.backup
    order = sorted(turns)
    ends = [min(turn.hour, last) for turn in order] + [last]
    first = 0
    for number, end in enumerate(ends):
        rows = trace[first:end] if task.traced else trace
        if end > first:
            function(
                house, slow.modes, hours, task.calendar, task.habits, task.heater, backup,
                first, end, state, table, total, month_kg, rows,
            )  # fmt: skip
        first = max(first, end)
        if number < len(order) and order[number].put_out:
            state[[now.FUEL, now.LIT, now.HARD]] = 0.0
        if number < len(order) and order[number].tank_empty:
            backup = backup_numbers()
    close_books(total, table, state, begun, task.walk)
    return Tallied(total, month_kg, trace)
