"""Whether winter heat pays, by setpoint and by week."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.plans.cost_lines import beds_ft2
from greenhouse_sim.plans.worth import (
    OVER_DAMAGE_K,
    Worth,
    at,
    check_worth,
    setpoints,
    without_heat,
    worth,
)
from greenhouse_sim.plans.worth_weeks import by_week, harvested
from greenhouse_sim.report.words import Units
from greenhouse_sim.report.worth_words import first_line, weeks_line
from greenhouse_sim.scenario import Scenario
from greenhouse_sim.season.run import read_winters
from winters_at_hand import demo

VALUE = 0.3


def farm(**change: Any) -> Scenario:
    base = {
        "site__season": {"start": "12-01", "end": "03-01"}, "heater": "propane heater",
        "site__weather": ["selkie_sound_severe.csv"],
        "money": {"crop_value": f"{VALUE} /ft^2/week"},
    }  # fmt: skip
    return demo(**(base | change))


@pytest.fixture(scope="module")
def found() -> Worth:
    return worth(farm(), read_winters(farm()))


def test_more_heat_costs_more_and_grows_more(found: Worth) -> None:
    costs = [held.cost for held in found.held]
    growths = [held.weekly_growth.sum() for held in found.held]
    assert costs == sorted(costs) and costs[0] > 0.0
    assert growths == sorted(growths)
    assert found.off.cost == 0.0
    assert found.off.cords == found.off.fuel_kg == 0.0


def test_the_crop_value_is_of_an_average_week_at_the_own_setpoint(found: Worth) -> None:
    own = found.held[found.own]
    assert own.lost == 0.0
    weeks = len(own.weekly_cost)
    assert weeks == 13
    assert own.brings == pytest.approx(VALUE * beds_ft2(farm()) * weeks)


def test_the_best_setpoint_leaves_most(found: Worth) -> None:
    best = found.best
    assert best is not None
    for held in (found.off, found.guard, *found.held):
        assert (held.margin or 0.0) <= (best.margin or 0.0)


def test_a_week_pays_from_the_crop_value_that_it_needs(found: Worth) -> None:
    told = [week for week in found.weeks if week.cost > 5.0 and np.isfinite(week.needed)]
    assert len(told) > 5
    for week in told:
        assert week.brings is not None
        assert week.brings == pytest.approx(week.cost * VALUE / week.needed)
        if abs(week.brings - week.cost) > 1.0:
            assert week.pays == (week.needed < VALUE)


def test_at_the_break_even_value_heat_just_pays(found: Worth) -> None:
    even = found.break_even
    assert even is not None
    there = farm(money={"crop_value": f"{even:.12g} /ft^2/week"})
    again = worth(there, read_winters(there))
    own = again.held[again.own]
    assert own.margin == pytest.approx(again.off.margin or 0.0, abs=0.01)


def test_without_a_value_the_break_even_is_told() -> None:
    scenario = farm(money={})
    found = worth(scenario, read_winters(scenario))
    assert found.best is None
    assert "pays, against none, if a square foot of bed brings over $" in first_line(found, Units())
    assert weeks_line(found) == ""


def test_setpoints_lie_between_damage_and_vents() -> None:
    scenario = farm()
    pairs = setpoints(scenario)
    assert (scenario.crop.setpoint_night, scenario.crop.setpoint_day) in pairs
    assert all(night > scenario.crop.damage_below + OVER_DAMAGE_K for night, _ in pairs)
    assert all(day < scenario.crop.vent_at for _, day in pairs)


def test_the_alarm_moves_with_the_setpoint() -> None:
    scenario = farm()
    lower = at(scenario, scenario.crop.setpoint_night - 2.0, scenario.crop.setpoint_day - 2.0)
    assert scenario.routine.gets_up_below is not None
    assert lower.routine.gets_up_below == pytest.approx(scenario.routine.gets_up_below - 2.0)
    assert at(scenario, scenario.crop.setpoint_night, scenario.crop.setpoint_day) is scenario
    assert without_heat(scenario).crop.setpoint_night < -80.0


def test_a_frozen_crop_brings_nothing_until_it_has_grown_again() -> None:
    grown = np.ones(12)
    frozen = np.zeros(12, dtype=bool)
    frozen[2] = True
    left = harvested(demo(money={"crop_weeks": 4}), grown, frozen)
    assert list(np.flatnonzero(left == 0.0)) == [2, 3, 4, 5]
    assert by_week(np.arange(400.0)).shape == (2, 168)


def test_a_schedule_is_refused() -> None:
    schedule = [{"from": "07:00", "to": "20:00", "at": "50 degF"}, {"at": "42 degF"}]
    with pytest.raises(gs.ScenarioError, match="one by day and night"):
        check_worth(farm(crop__setpoint=schedule))
