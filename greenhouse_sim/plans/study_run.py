"""Run a study: here on every core, or on the workers of a scheduler.

Workers hand a part back as bytes and only this process writes, so that a worker may die at any
moment. No more parts are under way than keep the workers busy, so memory does not grow with the
study.
"""

from __future__ import annotations

import itertools
import multiprocessing
import os
import pickle
import signal
import tempfile
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from typing import Any

from greenhouse_sim.errors import GreenhouseError
from greenhouse_sim.plans.design_of_study import Design, Part
from greenhouse_sim.plans.study_columns import arrow
from greenhouse_sim.plans.study_out import Results
from greenhouse_sim.plans.study_part import run_part
from greenhouse_sim.season.many import Advance, Tell, beside_for, cores, engine_for, engine_name

WORTH_SEASONS = 4000
"""Fewer are run in this process, the loop on threads: other processes take two seconds to start."""
AHEAD = 2
"""Parts under way for each worker: one that runs, one that waits."""
Done = Iterator[tuple[Part, bytes]]


def run_study(
    results: Results,
    *,
    scheduler: str | None = None,
    workers: int | None = None,
    tell: Tell | None = None,
    advance: Advance | None = None,
) -> int:
    """Run what is missing of a study.

    Parameters
    ----------
    results
        Its folder, opened.
    scheduler
        Address of a dask.distributed scheduler, such as ``tcp://10.0.0.5:8786``; processes on
        this machine where not given.
    workers
        Processes on this machine; all cores by default.
    tell
        Called with a line where the user has to wait.
    advance
        Called with the seasons of each part that has been written.

    Returns
    -------
    int
        Seasons run.
    """
    arrow()
    design, todo = results.design, results.missing()
    count = workers or cores()
    engine = engine_name("auto", design.seasons)
    if scheduler is not None:
        from greenhouse_sim.plans.study_cluster import on_cluster

        done = on_cluster(scheduler, results.key, design, todo, tell)
    elif count == 1 or design.seasons < WORTH_SEASONS:
        _ready(engine, design.seasons, tell)
        done = ((part, run_part(results.key, design, engine, part, count)) for part in todo)
    else:
        _ready(engine, design.seasons, tell)
        done = on_processes(results.key, design, engine, todo, count)
    ran = 0
    for part, data in done:
        results.keep(part, data)
        ran += design.seasons_of(part)
        if advance is not None:
            advance(design.seasons_of(part))
    return ran


def _ready(engine: str, seasons: int, tell: Tell | None) -> None:
    """Compile what is worth compiling, for all parts and processes."""
    engine_for(engine, tell)
    if engine == "compiled":
        beside_for(seasons, tell)


def on_processes(key: str, design: Design, engine: str, todo: Iterator[Part], count: int) -> Done:
    """Run parts in processes of this machine; they come as they are done."""
    context = multiprocessing.get_context("spawn")
    with tempfile.TemporaryDirectory(prefix="greenhouse_sim-") as folder:
        # by a file: handed over directly, the next would not start before the last has read it all
        work = Path(folder) / "work"
        work.write_bytes(pickle.dumps((key, design, engine)))
        pool = ProcessPoolExecutor(count, context, _begin, (work,))
        try:
            yield from _kept_busy(lambda part: pool.submit(_part, part), todo, AHEAD * count)
        except BrokenProcessPool:
            raise GreenhouseError(
                "a process of the study was killed (out of memory?); run the same command again: "
                "it goes on where it stopped"
            ) from None
        finally:
            pool.shutdown(wait=False, cancel_futures=True)


def _kept_busy(submit: Callable[[Part], Future[bytes]], todo: Iterator[Part], most: int) -> Done:
    under_way = {submit(part): part for part in itertools.islice(todo, most)}
    while under_way:
        ready, _ = wait(under_way, return_when=FIRST_COMPLETED)
        for future in ready:
            part = under_way.pop(future)
            yield part, future.result()
            for following in itertools.islice(todo, 1):
                under_way[submit(following)] = following


_WORK: list[Any] = []
"""Key, design and engine of the study that this worker process runs."""


def _begin(work: Path) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    _WORK[:] = pickle.loads(work.read_bytes())


def _end_with_parent() -> None:
    """A worker whose study was killed has nobody to hand its part to, and would wait for ever."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _part(part: Part) -> bytes:
    key, design, engine = _WORK
    return run_part(key, design, engine, part)
