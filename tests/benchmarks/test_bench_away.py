"""How long it takes to leave every evening of thirty winters for two weeks."""

from __future__ import annotations

import time

import numpy as np
import pytest

from greenhouse_sim.plans.absence import (
    FULL_H,
    Way,
    branch_function,
    job_of,
    run_branches,
)
from greenhouse_sim.plans.absence_terms import chosen_backup, terms
from greenhouse_sim.plans.departures import evenings
from greenhouse_sim.plans.foreseen import foreseen, prepared, tasks_of
from greenhouse_sim.season import branch, compiled
from greenhouse_sim.season.run import read_winters
from winters_at_hand import SAMPLES, demo

WINTERS = 30
pytestmark = pytest.mark.skipif(not compiled.available(), reason="numba is not installed")


def test_two_weeks_from_every_evening() -> None:
    """With a back-up, so that every branch runs its two weeks to the end."""
    scenario = demo()
    records = read_winters(scenario, list(SAMPLES[:3]))
    winters = foreseen(scenario, prepared(scenario, records))
    tasks = tasks_of(scenario, winters, scenario.heater.kind)
    when = evenings(winters)
    way, how = Way(chosen_backup(scenario)[1]), terms(scenario)
    jobs = [
        job_of(way, winters[n % 3], tasks[n % 3], starts, np.full(len(starts), FULL_H), how)
        for n in range(WINTERS)
        for starts in (when.starts[n % 3],)
    ]
    function = branch_function("compiled", WINTERS)
    run_branches(function, jobs[:1])
    begun = time.perf_counter()
    done = run_branches(function, jobs)
    taken_s = time.perf_counter() - begun
    hours = sum(answers[:, branch.RUN_H].sum() for answers, _ in done)
    departures = sum(len(answers) for answers, _ in done)
    print(
        f"\n{departures} departures in {WINTERS} winters, {hours:.0f} hours: {taken_s:.2f} s, "
        f"{1e6 * taken_s / hours:.2f} µs an hour"
    )
    assert departures > 200 * WINTERS
