"""Costs of heat, of cords and of hours beside published figures."""

from __future__ import annotations

import pytest

from greenhouse_sim.heater.fuel import fuel_for
from greenhouse_sim.plans.cost_lines import GALLON_M3, purchases
from greenhouse_sim.tables.read import read_keyed, read_rows
from greenhouse_sim.units import BTU_J, KWH_J
from winters_at_hand import demo

MILLION_BTU_J = 1.0e6 * BTU_J


def test_a_pellet_stove_put_up_in_wisconsin() -> None:
    """4350 dollars in 2011: stove 3500, chimney 550, labour and pad 300 (greenhouse trade press,
    Sanford, University of Wisconsin). The table's own numbers, so that they stay what they were."""
    bought = purchases(demo(), "pellet stove")
    assert sum(line.first for line in bought) == 4350.0


def test_dollars_a_million_btu_of_electricity_and_propane() -> None:
    """University of Massachusetts Extension: electricity, dollars a kWh × 293; a gallon of propane
    holds 91,500 Btu, so at full efficiency × 10.93."""
    assert pytest.approx(293.0, rel=0.002) == MILLION_BTU_J / KWH_J
    gas = fuel_for("propane")
    assert gas.bulk_kg_m3 is not None
    gallon_J = gas.gross_J_kg * gas.bulk_kg_m3 * GALLON_M3
    assert gallon_J / BTU_J == pytest.approx(91_500, rel=0.01)


def test_typical_propane_is_the_agencys() -> None:
    """US Energy Information Administration, 6 October 2025: 2.402 a gallon, 1.726 in Wisconsin,
    3.668 in Vermont."""
    row = read_keyed("money")["propane"]
    assert row.number == pytest.approx(2.402, abs=0.01)
    assert float(row.low) <= 1.726 and float(row.high) >= 3.668


def test_own_wood_costs_about_what_it_is_sold_for() -> None:
    """Eight hours a cord at the wage, with the outlay: 135 dollars, against 150 to 450 for bought
    wood that somebody also drove and sold. A seller's own count (a forum of tractor owners): log
    cost and supplies 150 a cord, 22 dollars an hour left."""
    labour = read_keyed("labour")
    tasks = ("felling", "skidding", "bucking", "hauling", "splitting", "stacking")
    hours = sum(labour[task].number for task in tasks)
    money = read_keyed("money")
    cord = hours * money["wage"].number + money["own_wood"].number
    assert hours == pytest.approx(8.0)
    assert 100.0 < cord < float(money["wood"].high)
    assert cord < money["wood"].number


@pytest.mark.parametrize("part", ["pipe"])
def test_insulated_pipe_is_as_a_dealer_said(part: str) -> None:
    """5 to 15 dollars a foot in 2019."""
    rows = [row for row in read_rows("costs") if row["part"] == part and "boiler" in row["heater"]]
    assert rows
    for row in rows:
        assert float(row["low"]) <= 5.0 and float(row["high"]) >= 15.0
