"""What a visit would do, by burn law: hand sums."""

from __future__ import annotations

import numpy as np
import pytest

from greenhouse_sim.heater.fuel import fuel_for
from greenhouse_sim.heater.heater import heater_numbers
from greenhouse_sim.heater.numbers import Heater
from greenhouse_sim.routine.decide import Plan, plan, until
from greenhouse_sim.routine.numbers import Habits

OAK = fuel_for("red oak", 0.20)
HABITS = Habits(2.0, 4.0, 1.0, 2.0, 5.0)


def heater(kind: str) -> Heater:
    return heater_numbers(kind, 1, {}, OAK)


def steady_need(need_w: float, hours: int = 96) -> np.ndarray:
    return np.arange(hours + 1) * need_w * 3600.0


def visit(
    kind: Heater, need_w: float, gap_h: float, fuel_kg: float = 0.0, air_t: float = 5.0,
    setpoint: float = 5.0, store_t: float = 20.0, setting_w: float = 0.0, lit: float = 0.0,
) -> Plan:  # fmt: skip
    return plan(
        kind, HABITS, steady_need(need_w), 10, gap_h, 1e6, setpoint, air_t, -10.0, fuel_kg,
        setting_w, lit, store_t,
    )  # fmt: skip


def test_until_is_the_sum_of_the_hours() -> None:
    need = steady_need(100.0, 10)
    assert until(need, 3, 4.0) == pytest.approx(4 * 360000.0)
    # past the season's end nothing is needed
    assert until(need, 8, 12.0) == pytest.approx(2 * 360000.0)
    assert until(need, 10, 5.0) == 0.0


def test_stove_is_loaded_for_the_hours_to_the_next_chance() -> None:
    """5 kW for 8 hours at the stove's best efficiency."""
    stove = heater("wood stove, large")
    wanted = 5000.0 * 8 * 3600 / (stove.efficiency_max * stove.heat_j_kg)
    night = visit(stove, 5000.0, 8.0)
    assert night.load_kg == pytest.approx(min(wanted, stove.charge_kg))
    # by day for the usual hours
    day = visit(stove, 5000.0, 1.0)
    assert day.load_kg == pytest.approx(wanted / 2.0)
    assert night.due == day.due == 1.0


def test_stove_is_never_overfilled() -> None:
    stove = heater("wood stove, small")
    full = visit(stove, 50000.0, 8.0, fuel_kg=2.0, lit=1.0)
    assert full.load_kg == pytest.approx(stove.charge_kg - 2.0)
    assert stove.burn_min_w <= full.setting_w <= stove.burn_max_w


def test_air_is_set_so_that_the_charge_lasts() -> None:
    """A full box through eight hours: charge over the time, within what the stove can hold."""
    stove = heater("wood stove, large")
    set_w = visit(stove, 50000.0, 8.0).setting_w
    assert set_w == pytest.approx(
        max(stove.charge_kg * stove.heat_j_kg / 28800.0, stove.burn_min_w)
    )


def test_full_stove_needs_nothing() -> None:
    stove = heater("wood stove, large")
    least = stove.burn_min_w
    kept = visit(stove, 3000.0, 1.0, fuel_kg=stove.charge_kg, lit=1.0, setting_w=least)
    assert kept.load_kg == 0.0
    assert kept.due == 0.0


def test_warm_house_in_the_sun_is_not_fed() -> None:
    stove = heater("wood stove, large")
    assert visit(stove, 100.0, 1.0, air_t=9.0).load_kg == 0.0


def test_cold_house_gets_the_draft_open() -> None:
    stove = heater("wood stove, large")
    cold = visit(stove, 3000.0, 1.0, air_t=1.0, fuel_kg=10.0, lit=1.0, setting_w=stove.burn_min_w)
    assert cold.due == 1.0
    assert cold.setting_w == stove.burn_max_w


def test_hot_house_gets_the_draft_shut() -> None:
    stove = heater("wood stove, large")
    hot = visit(stove, 3000.0, 1.0, air_t=12.0, fuel_kg=15.0, lit=1.0, setting_w=stove.burn_max_w)
    assert hot.due == 1.0
    assert hot.setting_w == stove.burn_min_w
    assert hot.load_kg == 0.0


@pytest.mark.parametrize("kind", ["pellet stove", "pellet furnace"])
def test_hopper_is_filled_up_when_low(kind: str) -> None:
    hopper = heater(kind)
    assert visit(hopper, 3000.0, 1.0, fuel_kg=0.5 * hopper.charge_kg).load_kg == 0.0
    low = visit(hopper, 3000.0, 1.0, fuel_kg=0.2 * hopper.charge_kg)
    assert low.load_kg == pytest.approx(0.8 * hopper.charge_kg)
    # nothing wanted in the next day: left as it is
    assert visit(hopper, 0.0, 1.0, fuel_kg=0.0).load_kg == 0.0


def test_boiler_reckons_with_its_jacket() -> None:
    boiler = heater("outdoor boiler")
    warm = visit(boiler, 5000.0, 12.0, store_t=-10.0).load_kg
    hot = visit(boiler, 5000.0, 12.0, store_t=80.0).load_kg
    jacket_j = (boiler.out_w_k + boiler.pipe_w_k) * 90.0 * 12 * 3600
    assert hot - warm == pytest.approx(jacket_j / (boiler.efficiency_max * boiler.heat_j_kg))
    assert hot <= boiler.charge_kg


@pytest.mark.parametrize("kind", ["gasification boiler", "rocket mass heater, large"])
def test_full_store_is_not_fired(kind: str) -> None:
    numbers = heater(kind)
    assert visit(numbers, 1500.0, 8.0, store_t=numbers.store_limit).load_kg == 0.0
    cold = visit(numbers, 1500.0, 8.0, store_t=8.0)
    assert 0.0 < cold.load_kg <= numbers.charge_kg
    assert cold.setting_w == numbers.burn_max_w
    # and not while it burns
    burning = visit(numbers, 1500.0, 8.0, store_t=8.0, fuel_kg=0.5 * numbers.charge_kg, lit=1.0)
    assert burning.load_kg == 0.0
    # nor without need
    assert visit(numbers, 0.0, 8.0, store_t=8.0).load_kg == 0.0


@pytest.mark.parametrize("kind", ["pellet stove", "outdoor boiler"])
def test_nobody_tops_up_what_cannot_be_burnt(kind: str) -> None:
    """Far too small for the house: what it burns flat out to the next chance is enough."""
    burner = heater(kind)
    most_kg = burner.burn_max_w * 9 * 3600 / burner.heat_j_kg
    assert most_kg < burner.charge_kg or kind == "outdoor boiler"
    just = min(most_kg * 1.01, burner.charge_kg)
    short = 0.7 * just
    assert visit(burner, 5.0 * burner.burn_max_w, 9.0, fuel_kg=just, store_t=80.0).due == 0.0
    assert visit(burner, 5.0 * burner.burn_max_w, 9.0, fuel_kg=short, store_t=80.0).due == 1.0
