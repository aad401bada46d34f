"""Run many seasons, on every core, interpreted or compiled.

Both engines give the same answer. Compiled is a thousand times faster once it is
ready; interpreted starts at once. Left alone, the program takes whichever ends
sooner. The compiled loop releases the interpreter's lock, so plain threads do.
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from queue import Empty, SimpleQueue
from typing import NamedTuple, TypeVar

import numpy as np

from greenhouse_sim.heater.numbers import Backup, Heater
from greenhouse_sim.routine.numbers import Calendar, Habits
from greenhouse_sim.season import numbers as now
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.hour import season
from greenhouse_sim.season.modes import Walk, close_books

INTERPRETED_S = 0.9
"""A winter interpreted, s, about."""
COMPILE_S = 12.0
LOAD_S = 1.2
RESTED_H = 1000.0
"""Hours since the last night visit when a season begins: long ago."""
LINE = 16
"""Numbers in two cache lines of 64 bytes: a core may fetch the next line with the one it wants."""

Item = TypeVar("Item")
Made = TypeVar("Made")
Tell = Callable[[str], None]
Advance = Callable[[int], None]


class Task(NamedTuple):
    """One season to run."""

    walk: Walk
    calendar: Calendar
    habits: Habits
    heater: Heater
    backup: Backup
    pile_kg: float
    traced: bool


class Tallied(NamedTuple):
    """One season run."""

    total: np.ndarray
    """Shape (tally.SIZE,)."""
    month_kg: np.ndarray
    """Shape (tally.MONTHS,)."""
    trace: np.ndarray
    """Shape (hours, tally.TRACE_SIZE), or (0, tally.TRACE_SIZE) where not asked for."""


def cores() -> int:
    """Cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def engine_name(engine: str, count: int) -> str:
    """Settle "auto": the engine that ends ``count`` seasons sooner, "python" or "compiled"."""
    if engine != "auto":
        return engine
    from greenhouse_sim.season import compiled

    if not compiled.available():
        return "python"
    start_s = LOAD_S if compiled.is_cached() else COMPILE_S
    return "python" if count * INTERPRETED_S < start_s else "compiled"


def engine_for(engine: str, tell: Tell | None = None) -> Callable:
    """The season function of an engine, "python" or "compiled".

    ``tell`` is called with a line where the user has to wait for the compiler.
    """
    from greenhouse_sim.season import compiled

    if engine == "python":
        if tell is not None and not compiled.available():
            tell("numba is not installed: winters run interpreted, about a second each")
        return season
    if tell is not None and not compiled.is_cached():
        tell("Compiling the winter loop for this machine (once, about ten seconds) ...")
    return compiled.compiled_season()


def vapour_function(engine: str) -> Callable:
    """The walk through a winter's vapour of an engine, "python" or "compiled"."""
    from greenhouse_sim.season import compiled, vapour

    return vapour.walk if engine == "python" else compiled.compiled_vapour()


def first_state(task: Task) -> np.ndarray:
    """The state in which a season begins: air at its setpoint, no fire, nobody woken of late."""
    heater = task.heater
    state = np.zeros(now.STATE_SIZE)
    state[now.AIR] = task.walk.hours.setpoint[0]
    state[now.SETTING] = heater.burn_min_w
    state[[now.CORE, now.SKIN]] = heater.store_start
    state[now.DRY] = heater.dry_kg * heater.decay_share
    state[now.PILE] = task.pile_kg
    state[now.SINCE_WOKEN] = RESTED_H
    return state


def _apart(*sizes: int) -> list[np.ndarray]:
    """Arrays of zeros, float64, that no other core writes beside.

    They lie in one block with whole cache lines between them and their neighbours: a season
    writes to its arrays all the time, and a line shared with a season on another core would go
    to and fro between the two.
    """
    ends = np.cumsum([LINE * (1 + -(-size // LINE)) for size in sizes])
    block = np.zeros(int(ends[-1]) + LINE)
    starts = [LINE, *(int(end) + LINE for end in ends[:-1])]
    return [block[start : start + size] for start, size in zip(starts, sizes, strict=True)]


def run_one(function: Callable, task: Task) -> Tallied:
    """Run one season with one of the engines."""
    house, slow, hours, _ = task.walk
    begun = first_state(task)
    first = slow.modes.table
    total, month_kg, state, modes = _apart(at.SIZE, at.MONTHS, begun.size, first.size)
    total += at.empty()
    state += begun
    table = modes.reshape(first.shape)
    table += first
    last = hours.t_out.shape[0]
    trace = np.zeros((last if task.traced else 0, at.TRACE_SIZE))
    function(
        house,
        slow.modes,
        hours,
        task.calendar,
        task.habits,
        task.heater,
        task.backup,
        0,
        last,
        state,
        table,
        total,
        month_kg,
        trace,
    )
    close_books(total, table, state, begun, task.walk)
    return Tallied(total, month_kg, trace)


def on_threads(
    work: Callable[[Item], Made], items: Sequence[Item], engine: str, workers: int | None = None
) -> list[Made]:
    """``work`` on every item, in order: on ``workers`` threads where the engine is compiled.

    The first item is done alone: it may have to compile.
    """
    if engine == "python" or len(items) < 2:
        return [work(item) for item in items]
    first = work(items[0])
    with ThreadPoolExecutor(workers or cores()) as pool:
        return [first, *pool.map(work, items[1:])]


def run_many(
    tasks: Sequence[Task],
    engine: str = "auto",
    workers: int | None = None,
    tell: Tell | None = None,
    advance: Advance | None = None,
) -> list[Tallied]:
    """Run seasons, in the order of ``tasks``, on ``workers`` threads (all cores by default)."""
    function = engine_for(engine_name(engine, len(tasks)), tell)
    threads = workers or cores()
    if function is season or threads == 1 or len(tasks) == 1:
        done = []
        for task in tasks:
            done.append(run_one(function, task))
            if advance is not None:
                advance(1)
        return done
    return _threaded(function, tasks, threads, advance)


def _threaded(
    function: Callable, tasks: Sequence[Task], threads: int, advance: Advance | None
) -> list[Tallied]:
    results: dict[int, Tallied] = {}
    # the first call in one thread alone: it may compile or load
    results[0] = run_one(function, tasks[0])
    if advance is not None:
        advance(1)
    rest: SimpleQueue[int] = SimpleQueue()
    for i in range(1, len(tasks)):
        rest.put(i)

    def share() -> None:
        # each takes the next: one core may be slower than another
        with contextlib.suppress(Empty):
            while True:
                i = rest.get_nowait()
                results[i] = run_one(function, tasks[i])
                if advance is not None:
                    advance(1)

    with ThreadPoolExecutor(threads) as pool:
        for job in as_completed([pool.submit(share) for _ in range(threads)]):
            job.result()
    return [results[i] for i in range(len(tasks))]
