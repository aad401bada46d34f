"""Seasons side by side give the bits of seasons alone, however they are grouped.

The lanes take four numbers at a time where a season alone takes one; adding, multiplying,
dividing and comparing are the same for both (IEEE 754), so any difference is a fault.
"""

from __future__ import annotations

import functools

import numpy as np
import pytest

from greenhouse_sim.heater.catalogue import heater_names
from greenhouse_sim.season import compiled, many
from greenhouse_sim.season.beside.grouping import LEAST, groups
from greenhouse_sim.season.many import Tallied, Task, engine_for, run_many, run_some
from greenhouse_sim.season.run import task
from winters_at_hand import SAMPLES, TROUBLED, catalogue_tasks, demo, winter

pytestmark = pytest.mark.skipif(not compiled.available(), reason="numba is not installed")

FARMS = {**TROUBLED, "row cover": {"greenhouse__row_cover": "medium row cover"}}


def same(ours: Tallied, theirs: Tallied) -> bool:
    """Whether every bit is."""
    return all(
        np.array_equal(mine.view(np.int64), other.view(np.int64))
        for mine, other in zip(ours, theirs, strict=True)
    )


@functools.cache
def catalogue() -> tuple[list[Task], list[Tallied]]:
    """Every heater in six winters, and each season alone."""
    tasks = catalogue_tasks()
    return tasks, alone(tasks)


def alone(tasks: list[Task]) -> list[Tallied]:
    """The seasons one after another."""
    return run_some(engine_for("compiled"), tasks)


@pytest.fixture
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """However few seasons there are, they run side by side."""
    monkeypatch.setattr(many, "WORTH", 2)
    monkeypatch.setattr(many, "WORTH_COMPILING", 2)


def test_groups_hold_every_season_once() -> None:
    tasks, _ = catalogue()
    found = groups(tasks)
    assert sorted(place for places in found for place in places) == list(range(len(tasks)))
    sizes = {len(places) for places in found}
    assert max(sizes) > 1
    assert not sizes & set(range(2, LEAST))


@pytest.mark.parametrize("threads", [1, 2])
def test_the_catalogue_beside_and_alone(at_once: None, threads: int) -> None:
    tasks, before = catalogue()
    ran = run_many(tasks, "compiled", threads)
    unlike = [
        one.heater
        for one, ours, theirs in zip(tasks, ran, before, strict=True)
        if not same(ours, theirs)
    ]
    assert not unlike


def test_any_order_and_any_neighbours(at_once: None) -> None:
    """Shuffled, with some left out, with heaters a little different in every lane."""
    tasks, _ = catalogue()
    rng = np.random.default_rng(5)
    varied = [
        one._replace(
            heater=one.heater._replace(efficiency_max=one.heater.efficiency_max * share),
            habits=one.habits._replace(margin=1.0 + share),
        )
        for one, share in zip(tasks, rng.uniform(0.8, 1.0, len(tasks)), strict=True)
    ]
    order = rng.permutation(len(varied))[: len(varied) - 7]
    ran = run_many([varied[i] for i in order], "compiled", 2)
    before = alone(varied)
    assert all(same(ours, before[i]) for ours, i in zip(ran, order, strict=True))


@pytest.mark.parametrize("farm", FARMS)
def test_traces_and_what_a_winter_may_bring(farm: str, at_once: None) -> None:
    """Hour by hour, with back-up, a dead grid, an empty house, a small pile, a row cover."""
    scenario = demo(**FARMS[farm])
    winters = [winter(scenario, sample) for sample in SAMPLES]
    tasks = [task(scenario, one, name, True) for name in heater_names() for one in winters]
    ran = run_many(tasks, "compiled", 2)
    assert all(same(ours, theirs) for ours, theirs in zip(ran, alone(tasks), strict=True))
