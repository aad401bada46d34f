"""A visit and the cause of a cold hour, on their own."""

from __future__ import annotations

import numpy as np
import pytest

from greenhouse_sim.heater.burn import Fire
from greenhouse_sim.heater.fuel import fuel_for
from greenhouse_sim.heater.heater import heater_numbers
from greenhouse_sim.routine.decide import Plan
from greenhouse_sim.routine.numbers import Habits
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.heating import cause_of_cold
from greenhouse_sim.season.visit import visit, wakes

OAK = fuel_for("red oak", 0.20)
STOVE = heater_numbers("wood stove, large", 1, {}, OAK)
PELLETS = heater_numbers("pellet stove", 1, {}, OAK)
PROPANE = heater_numbers("propane heater", 1, {}, OAK)
HABITS = Habits(2.0, 4.0, 1.15, 2.0, 5.0)
OUT = Fire(0.0, 5000.0, 0.0, 0.0)
LIVE = Fire(8.0, STOVE.burn_min_w, 1.0, 0.0)
INF = float("inf")


def test_lighting_a_cold_stove() -> None:
    total = np.zeros(at.SIZE)
    done = visit(STOVE, OUT, Plan(10.0, 9000.0, 1.0), INF, False, total)
    assert done.fire == Fire(10.0, 9000.0, 1.0, 0.0)
    assert (done.loaded_kg, done.made, done.woken) == (10.0, 1.0, 0.0)
    assert total[at.LOADS] == total[at.FIRES] == total[at.VISITS] == 1.0
    assert total[at.LIGHT_S] == STOVE.light_s
    assert total[at.ASH_S] == STOVE.ash_s_kg * 10.0
    assert total[at.WAKEUPS] == total[at.NIGHT_S] == 0.0


def test_pile_gives_only_what_is_left() -> None:
    total = np.zeros(at.SIZE)
    done = visit(STOVE, OUT, Plan(10.0, 9000.0, 1.0), 3.0, False, total)
    assert done.loaded_kg == total[at.LOADED_KG] == 3.0
    empty = visit(STOVE, OUT, Plan(10.0, 9000.0, 1.0), 0.0, False, total)
    assert empty.made == 0.0
    assert empty.fire == OUT


def test_nobody_comes_for_nothing() -> None:
    total = np.zeros(at.SIZE)
    assert visit(STOVE, LIVE, Plan(0.0, 9000.0, 0.0), INF, False, total).made == 0.0
    assert total.sum() == 0.0


def test_alarm_is_worth_it_only_if_the_air_can_be_opened() -> None:
    total = np.zeros(at.SIZE)
    opened = visit(STOVE, LIVE, Plan(0.0, STOVE.burn_max_w, 0.0), INF, True, total)
    assert opened.woken == 1.0
    assert total[at.WAKEUPS] == 1.0
    assert total[at.NIGHT_S] == STOVE.night_s
    full = Fire(8.0, STOVE.burn_max_w, 1.0, 0.0)
    assert visit(STOVE, full, Plan(0.0, STOVE.burn_max_w, 0.0), INF, True, total).woken == 0.0


def test_when_an_alarm_wakes() -> None:
    assert wakes(HABITS, STOVE, 1.9, 2.0, 1.0)
    assert not wakes(HABITS, STOVE, 2.1, 9.0, 1.0)
    assert not wakes(HABITS, STOVE, 1.9, 1.0, 1.0)
    # a dark pellet stove cannot be helped, a wood stove can
    assert wakes(HABITS, STOVE, 1.9, 9.0, 0.0)
    assert not wakes(HABITS, PELLETS, 1.9, 9.0, 0.0)
    never = HABITS._replace(gets_up_below=-1000.0)
    assert not wakes(never, STOVE, -60.0, 9.0, 1.0)


@pytest.mark.parametrize(
    ("heater", "fire", "most", "power", "away", "asleep", "pile", "cause"),
    [
        (PELLETS, OUT, 1.0, 0.0, 1.0, 0.0, 0.0, at.CAUSE_POWER),
        (STOVE, OUT, 0.0, 0.0, 1.0, 0.0, 0.0, at.CAUSE_FUEL),
        (STOVE, LIVE, 0.95, 1.0, 0.0, 1.0, INF, at.CAUSE_FULL),
        (STOVE, LIVE, 0.5, 1.0, 1.0, 0.0, INF, at.CAUSE_AWAY),
        (STOVE, OUT, 0.0, 1.0, 0.0, 1.0, INF, at.CAUSE_ASLEEP),
        (STOVE, OUT, 0.0, 1.0, 0.0, 0.0, INF, at.CAUSE_OUT),
        (PROPANE, OUT, 0.2, 1.0, 1.0, 1.0, INF, at.CAUSE_FULL),
    ],
)
def test_causes_in_their_order(
    heater: object, fire: Fire, most: float, power: float, away: float, asleep: float, pile: float,
    cause: int,
) -> None:  # fmt: skip
    assert cause_of_cold(heater, fire, most, False, power, away, asleep, pile) == cause
