"""Run many seasons, on every core, interpreted or compiled.

Both engines give the same answer. Compiled is a thousand times faster once it is
ready; interpreted starts at once. Left alone, the program takes whichever ends
sooner. The compiled loop releases the interpreter's lock, so plain threads do.
"""

from __future__ import annotations

import contextlib
import functools
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
from greenhouse_sim.season.beside.grouping import groups
from greenhouse_sim.season.beside.party import compile_now, run_beside
from greenhouse_sim.season.hour import season
from greenhouse_sim.season.modes import Walk, close_books

INTERPRETED_S = 0.9
"""A winter interpreted, s, about."""
COMPILE_S = 12.0
LOAD_S = 0.2
"""Linking kept code takes a tenth of a second, and a second where numba has to load it."""
WORTH = 16
WORTH_COMPILING = 20_000
"""Seasons from which the loop over seasons side by side is worth its loading, and its compiling: it
saves half a millisecond each."""
RESTED_H = 1000.0
"""Hours since the last night visit when a season begins: long ago."""
NOT_BEGUN = at.empty()
NOT_BEGUN.flags.writeable = False
LINE = 16
"""Numbers in two cache lines of 64 bytes: a core may fetch the next line with the one it wants."""
AT_ONCE = 64
"""Seasons that a thread takes at a time, at most: enough to share what comes between them."""

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
    # one by one: several places at once take several times as long
    state[now.AIR] = task.walk.hours.setpoint[0]
    state[now.SETTING] = heater.burn_min_w
    state[now.CORE] = heater.store_start
    state[now.SKIN] = heater.store_start
    state[now.DRY] = heater.dry_kg * heater.decay_share
    state[now.PILE] = task.pile_kg
    state[now.SINCE_WOKEN] = RESTED_H
    return state


@functools.cache
def _apart(*sizes: int) -> tuple[int, tuple[slice, ...]]:
    """Size of a block and the places in it of arrays that no other core writes beside.

    There are whole cache lines between them and their neighbours: a season writes to its arrays
    all the time, and a line shared with a season on another core would go to and fro between the
    two.
    """
    places, end = [], 0
    for size in sizes:
        start = end + LINE
        places.append(slice(start, start + size))
        end = start + LINE * -(-size // LINE)
    return end + LINE, tuple(places)


class _Ready(NamedTuple):
    """A season about to run."""

    task: Task
    begun: np.ndarray
    state: np.ndarray
    table: np.ndarray
    tallied: Tallied


def _ready(task: Task) -> _Ready:
    begun = first_state(task)
    first = task.walk.slow.modes.table
    size, places = _apart(at.SIZE, at.MONTHS, now.STATE_SIZE, first.size)
    block = np.zeros(size)
    total, month_kg, state, modes = [block[place] for place in places]
    total[:] = NOT_BEGUN
    state[:] = begun
    table = modes.reshape(first.shape)
    table[:] = first
    hours = task.walk.hours.t_out.shape[0] if task.traced else 0
    trace = np.zeros((hours, at.TRACE_SIZE))
    return _Ready(task, begun, state, table, Tallied(total, month_kg, trace))


def _bound(function: Callable, one: _Ready) -> Callable[[], None]:
    """A season of one of the engines with its arguments, to be called."""
    task, _, state, table, done = one
    house, slow, hours, _ = task.walk
    bind = getattr(function, "bound", None) or functools.partial(functools.partial, function)
    return bind(
        house,
        slow.modes,
        hours,
        task.calendar,
        task.habits,
        task.heater,
        task.backup,
        0,
        hours.t_out.shape[0],
        state,
        table,
        done.total,
        done.month_kg,
        done.trace,
    )


def run_some(function: Callable, tasks: Sequence[Task]) -> list[Tallied]:
    """Run seasons with one of the engines, one after another."""
    return [one for some in run_groups(function, None, [[one] for one in tasks]) for one in some]


def run_groups(
    function: Callable, beside: Callable | None, parties: Sequence[Sequence[Task]]
) -> list[list[Tallied]]:
    """Run groups of seasons, one after another; the seasons of a group side by side.

    All are made ready, then all run, then all have their books closed: a season's hours push
    everything else out of the core's nearest memory, and between two seasons the books would
    take many times as long as one after another.
    """
    ready = [[_ready(task) for task in tasks] for tasks in parties]
    runs: list[Callable[[], None]] = []
    for some in ready:
        if beside is not None and len(some) > 1:
            runs.append(functools.partial(run_beside, beside, some))
        else:
            runs += [_bound(function, one) for one in some]
    for run in runs:
        run()
    for some in ready:
        for task, begun, state, table, done in some:
            close_books(done.total, table, state, begun, task.walk)
    return [[one.tallied for one in some] for some in ready]


def run_one(function: Callable, task: Task) -> Tallied:
    """Run one season with one of the engines."""
    (done,) = run_some(function, [task])
    return done


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
    beside = None if function is season else beside_for(len(tasks), tell)
    threads = workers or cores()
    if function is season or len(tasks) == 1:
        threads = 1
    many = 1 if function is season else max(1, min(AT_ONCE, len(tasks) // (8 * threads)))
    together = [[place] for place in range(len(tasks))] if beside is None else groups(tasks)
    parts = _parts(together, many)
    done: dict[int, Tallied] = {}

    def run(k: int) -> None:
        parties = [[tasks[place] for place in places] for places in parts[k]]
        for places, some in zip(parts[k], run_groups(function, beside, parties), strict=True):
            done.update(zip(places, some, strict=True))
        if advance is not None:
            advance(sum(len(places) for places in parts[k]))

    if threads == 1:
        for k in range(len(parts)):
            run(k)
    else:
        _threaded(run, len(parts), threads)
    return [done[place] for place in range(len(tasks))]


def _parts(together: list[list[int]], many: int) -> list[list[list[int]]]:
    """Groups in parts of about ``many`` seasons; the first alone: it may compile or load."""
    parts = [together[:1]]
    count = many
    for places in together[1:]:
        if count >= many:
            parts.append([])
            count = 0
        parts[-1].append(places)
        count += len(places)
    return parts


def beside_for(count: int, tell: Tell | None = None) -> Callable | None:
    """The compiled loop over seasons side by side, where so many seasons are worth it.

    It is loaded for fewer than it is compiled for: that takes half a minute, once.
    """
    from greenhouse_sim.season import compiled
    from greenhouse_sim.season.beside.loop import side_by_side

    if compiled.is_cached(side_by_side):
        return compiled.compiled_beside() if count >= WORTH else None
    if count < WORTH_COMPILING:
        return None
    if tell is not None:
        tell("Compiling the loop for very many winters (once, about half a minute) ...")
    function = compiled.compiled_beside()
    compile_now(function)
    return function


def _threaded(run: Callable[[int], None], count: int, threads: int) -> None:
    """Run parts 0 to ``count``, the first before the others."""
    run(0)
    rest: SimpleQueue[int] = SimpleQueue()
    for k in range(1, count):
        rest.put(k)

    def share() -> None:
        # each takes the next: one core may be slower than another
        with contextlib.suppress(Empty):
            while True:
                run(rest.get_nowait())

    with ThreadPoolExecutor(threads) as pool:
        for job in as_completed([pool.submit(share) for _ in range(threads)]):
            job.result()
