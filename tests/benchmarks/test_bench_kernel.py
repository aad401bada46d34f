"""How fast the season loop is, and against what.

python -m pytest tests/benchmarks -s
"""

from __future__ import annotations

import time
from typing import Any

import numpy as np
import pytest
from many_seasons import ready_for_many

from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import Task, engine_for, run_many, run_one
from independent import solve
from winters_at_hand import OFF, STEADY, catalogue_tasks, demo, lone_task, winter

SEASONS = 1000
ROUNDS = 10
"""A machine that others use too is as fast as it is in its best rounds."""
HEATED = {"off": OFF, "steady stove": STEADY}


@pytest.fixture(scope="module")
def tasks() -> list[Task]:
    """About a thousand seasons: every heater in every sample winter, again and again."""
    once = catalogue_tasks()
    return once * max(1, round(SEASONS / len(once)))


@pytest.mark.parametrize("threads", [1, 2])
def test_seasons_per_second(benchmark: Any, tasks: list[Task], threads: int) -> None:
    """The compiled loops over the catalogue in six sample winters."""
    ready_for_many()
    run_many(tasks[:4], "compiled", threads)
    benchmark.pedantic(run_many, args=(tasks, "compiled", threads), rounds=ROUNDS, iterations=1)
    took = benchmark.stats.stats
    rate = len(tasks) / took.min
    benchmark.extra_info["seasons_per_s"] = rate
    print(
        f"\n{threads} thread(s): {len(tasks)} seasons, best of {ROUNDS} rounds {rate:,.0f} "
        f"seasons/s, middle {len(tasks) / took.median:,.0f}, worst {len(tasks) / took.max:,.0f}"
    )
    assert rate > 20.0


@pytest.mark.parametrize("name", HEATED)
def test_against_a_general_solver(benchmark: Any, name: str) -> None:
    """A whole winter by `scipy.integrate.solve_ivp`: how much slower, how far apart."""
    heater, heat = HEATED[name]
    found = winter(demo())
    one = lone_task(found.house, found.drive, heater)._replace(traced=True)
    loop = engine_for("compiled")
    ours = run_one(loop, one)
    benchmark.pedantic(run_one, args=(loop, one), rounds=20, iterations=1, warmup_rounds=2)
    began = time.perf_counter()
    theirs = solve(found.house, found.drive, heat, float(found.drive.setpoint[0]))
    solver_s = time.perf_counter() - began
    air = ours.trace[:, at.TRACE.index("air_C")] - theirs.air
    rms = float(np.sqrt(np.mean(air * air)))
    ratio = solver_s / benchmark.stats.stats.median
    benchmark.extra_info |= {"solver_over_loop": ratio, "air_rms_K": rms}
    print(
        f"\nheater {name}: solver {solver_s:.1f} s, {ratio:,.0f} times the compiled loop; "
        f"hourly air RMS {rms:.4f} K, most {np.abs(air).max():.3f} K"
    )
    assert rms < 0.2
