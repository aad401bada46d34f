"""An absence branched off the running season is the season with that trip, to the last bit."""

from __future__ import annotations

import functools
from datetime import timedelta
from typing import Any

import numpy as np
import pytest

from greenhouse_sim.heater.backup import backup_numbers
from greenhouse_sim.heater.catalogue import heater_names
from greenhouse_sim.plans.absence import run_branches
from greenhouse_sim.plans.coast import alone_trace
from greenhouse_sim.plans.departures import evenings, leaving, nobody, until_return, visited
from greenhouse_sim.plans.trip import with_trip
from greenhouse_sim.season import branch, compiled
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.branch import Alone
from greenhouse_sim.season.many import engine_for, first_state, run_one
from greenhouse_sim.season.run import Winter, task
from winters_at_hand import BARRELS, demo, hours_of, winter

HEATERS = tuple(name for name in heater_names() if name != "ideal")
DAYS = 3
COLUMN = {name: place for place, name in enumerate(at.TRACE)}
needs_numba = pytest.mark.skipif(not compiled.available(), reason="numba is not installed")


@functools.cache
def farm() -> tuple[Any, Winter]:
    """Sixteen cold days of a farm with barrels, a back-up and a grower who works away."""
    scenario = demo(
        backup={"kind": "propane heater", "starts_below": "30 degF"},
        greenhouse__mass=BARRELS,
        routine__work={"days": "mon-fri", "from": "08:00", "to": "17:30"},
    )
    found = winter(scenario, "tamarack_flats_severe.csv")
    first = 24 * 101
    part = hours_of(found, first, first + 24 * 16)
    weather = found.weather
    times = weather.start + timedelta(hours=first)
    columns = {name: values[first : first + 24 * 16] for name, values in weather.columns().items()}
    import dataclasses

    return scenario, part._replace(weather=dataclasses.replace(weather, start=times, **columns))


def starts_of(found: Winter) -> np.ndarray:
    """Departures with the whole absence inside the hours."""
    starts = evenings([found]).starts[0]
    last = len(found.drive.t_out) - DAYS * 24
    # in one piece, as the plan has them: for another layout the loop would be compiled anew
    return np.ascontiguousarray(starts[(starts > 24) & (starts < last)][::3])


def check_trip(heater: str, engine: str) -> None:
    """Hour by hour: every column of the trace, from the departure to the return."""
    scenario, found = farm()
    one = task(scenario, found, heater, True)
    function = engine_for(engine)
    starts = starts_of(found)
    span = DAYS * 24
    gap_h = until_return(one.calendar, starts, span)
    branched = alone_trace(function, one, starts, gap_h, span)
    begun = found.weather.start
    for start, ours in zip(starts, branched, strict=True):
        left = begun + timedelta(hours=int(start) + 1)
        days = with_trip(scenario, found, (left, begun + timedelta(hours=int(start) + span)))
        whole = run_one(function, one._replace(calendar=days)).trace
        theirs = whole[start : start + span]
        assert ours.tobytes() == theirs.tobytes(), f"{heater}, departure at hour {start}"


@needs_numba
@pytest.mark.parametrize("heater", HEATERS)
def test_an_absence_is_the_season_with_that_trip(heater: str) -> None:
    check_trip(heater, "compiled")


def test_an_absence_is_the_season_with_that_trip_interpreted() -> None:
    check_trip("wood stove, large", "python")


def answers_of(
    heater: str, function: Any, *, helper: bool = False, tank_j: float = np.inf
) -> tuple[np.ndarray, np.ndarray]:
    """Answers and back-up fuel of every departure."""
    scenario, found = farm()
    one = task(scenario, found, heater, False)
    starts = starts_of(found)
    begin, gone = (
        leaving(one.calendar, starts, until_return(one.calendar, starts, DAYS * 24)),
        nobody(one.calendar),
    )
    if helper:
        gone = visited(one.calendar, np.arange(len(found.drive.t_out)) % 24.0, 17.0)
        begin = gone._replace(chance=one.calendar.chance)
    backup = one.backup if np.isfinite(tank_j) else backup_numbers()
    alone = Alone(
        one.walk.house, begin, gone, backup, backup_numbers(), tank_j, 1.0e9,
        np.array([4.0, 2.0, 0.0]), DAYS * 24,
    )  # fmt: skip
    return run_branches(function, [(one, alone, starts)])[0]


@needs_numba
@pytest.mark.parametrize("heater", ["wood stove, large", "pellet stove", "outdoor boiler"])
def test_interpreted_and_compiled_branches_agree(heater: str) -> None:
    for how in ({}, {"helper": True}, {"tank_j": 2.0e8}):
        ours = answers_of(heater, branch.branches, **how)
        theirs = answers_of(heater, compiled.compiled_branches(), **how)
        assert ours[0].tobytes() == theirs[0].tobytes()
        assert ours[1].tobytes() == theirs[1].tobytes()


@pytest.mark.parametrize(
    "heater", ["wood stove, large", "pellet stove", "rocket mass heater, medium"]
)
def test_answers_are_what_the_trace_shows(heater: str) -> None:
    """Without a back-up: first hour at which fuel, plants and air are past each limit."""
    scenario, found = farm()
    one = task(scenario, found, heater, True)
    starts = starts_of(found)
    answers, _ = answers_of(heater, branch.branches)
    gap_h = until_return(one.calendar, starts, DAYS * 24)
    function = engine_for("python")
    traces = alone_trace(function, one, starts, gap_h, DAYS * 24, backup=False)
    hurt = one.walk.house.damage_below
    for answer, trace in zip(answers, traces, strict=True):
        run = trace[: int(answer[branch.RUN_H])]
        for place, happened in (
            (branch.HURT_H, run[:, COLUMN["crop_C"]] < hurt),
            (branch.BELOW_H, run[:, COLUMN["cause"]] > 0.0),
            (branch.ALARMS + 1, run[:, COLUMN["air_C"]] < 2.0),
            (branch.FIRE_OUT_H, run[:, COLUMN["fuel_left_kg"]] <= 0.05 * one.heater.coal_kg + 1e-9),
        ):
            hours = np.flatnonzero(happened)
            assert answer[place] == (hours[0] if hours.size else branch.NEVER)


def test_branching_leaves_the_season_as_it_was() -> None:
    """The trunk ends in the state in which the season ends that nobody leaves."""
    scenario, found = farm()
    one = task(scenario, found, "wood stove, large", False)
    starts = starts_of(found)
    begin = leaving(one.calendar, starts, np.full(len(starts), 24.0))
    alone = Alone(
        one.walk.house, begin, nobody(one.calendar), one.backup,
        backup_numbers(), np.inf, 1.0e9, np.array([2.0]), 24,
    )  # fmt: skip
    modes = one.walk.slow.modes
    ends = []
    for branching in (True, False):
        state, table = first_state(one), modes.table.copy()
        parts = (one.walk.house, modes, one.walk.hours, one.calendar, one.habits, one.heater)
        if branching:
            answers = np.zeros((len(starts), branch.ALARMS + 1))
            branch.branches(
                *parts, one.backup, alone, starts, state, table, answers,
                np.zeros((len(starts), 1)), branch.scratch_for(table),
            )  # fmt: skip
        else:
            engine_for("python")(
                *parts, one.backup, 0, len(found.drive.t_out), state, table, at.empty(),
                np.zeros(at.MONTHS), np.zeros((0, at.TRACE_SIZE)),
            )  # fmt: skip
        ends.append((state, table))
    assert ends[0][0].tobytes() == ends[1][0].tobytes()
    assert ends[0][1].tobytes() == ends[1][1].tobytes()


def test_a_tank_empties_and_then_the_crop_is_hurt() -> None:
    """The back-up holds while its tank lasts: fuel burnt is the tank, to an hour's burning."""
    answers, fuel_j = answers_of("wood stove, large", branch.branches, tank_j=2.0e8)
    empty = answers[:, branch.TANK_H]
    assert (empty >= 0.0).any()
    assert (answers[:, branch.HURT_H] >= 0.0).any()
    hurt = (answers[:, branch.HURT_H] >= 0.0) & (empty >= 0.0)
    assert (answers[hurt, branch.HURT_H] >= empty[hurt]).all()
    burnt = fuel_j[~np.isnan(fuel_j)]
    assert (burnt < 2.0e8 + 3600.0 * 50.0e3 / 0.8).all()
