"""A closed room of listed surfaces against sums by hand and an explicit radiant node."""

from __future__ import annotations

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.drive.drive import make_house
from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.greenhouse.enclosure import number
from greenhouse_sim.greenhouse.network import network, steady_shares
from greenhouse_sim.greenhouse.numbers import House
from outside.boxes import box, scenario, typical_winter

LIGHT_WALL = 0.012 / 0.16 + 0.066 / 0.04 + 0.009 / 0.14
LIGHT_FLOOR = 0.025 / 0.14 + 1.003 / 0.04
ROOF = 0.010 / 0.16 + 0.1118 / 0.04 + 0.019 / 0.14
PANES = 2 * 0.003048 / 1.0 + 0.012 / 0.0625
"""Layers of case 600, m²K/W. Outer films: convection 11.9 (wall), 14.4, 0.8 and 8.0 (window), and
4 ε 5.6697e-8 283.15³ = 4.63353 W/m²K beside it with ε = 0.9, or 4.32463 with the glass's 0.84."""


@pytest.fixture(scope="module")
def weather() -> gs.Weather:
    return typical_winter()


@pytest.fixture(scope="module")
def house(weather: gs.Weather) -> House:
    return make_house(scenario("600", weather.name, weather.elevation_m), weather)


def test_loss_of_the_light_box_by_hand(house: House) -> None:
    """Faces and a common radiant node written out, m² and m²K/W: the layers of walls, roof, floor
    and window, each with its outer film."""
    parts = [
        (63.6, LIGHT_WALL + 1 / 16.53353, "wall"),
        (48.0, ROOF + 1 / 19.03353, "roof"),
        (48.0, LIGHT_FLOOR + 1 / 5.43353, "floor"),
        (12.0, PANES + 1 / 12.32463, "window"),
    ]
    matrix, right = np.zeros((5, 5)), np.zeros(5)
    for k, (area, resistance, place) in enumerate(parts):
        convection, radiant = area * number(f"convection_{place}"), area * number("radiant_film")
        out = area / resistance
        matrix[k, k] += convection + radiant + out
        matrix[k, 4] -= radiant
        matrix[4, k] -= radiant
        matrix[4, 4] += radiant
        right[k] = convection
    faces = np.linalg.solve(matrix, right)
    by_hand = sum(
        area * number(f"convection_{place}") * (1.0 - faces[k])
        for k, (area, _, place) in enumerate(parts)
    )
    _, to_outdoors, to_ground = steady_shares(house)
    assert to_outdoors == pytest.approx(by_hand, rel=1e-6)
    assert to_ground == 0.0


def test_a_watt_on_any_node_is_all_accounted_for(house: House) -> None:
    """What falls on a node goes at once to nodes that store, to the air, or outdoors."""
    net = network(house)
    whole = net.place.sum(axis=0) + net.to_air + net.to_out
    assert whole == pytest.approx(np.ones(len(house.node_c)), abs=1e-12)
    # nothing flows where all stand at one temperature
    assert net.matrix.sum(axis=1) == pytest.approx(net.air + net.out, rel=1e-9)


def test_faces_take_all_of_the_sun_and_the_radiant_gain(house: House) -> None:
    """Floor 0.642 of the 0.965 that stay (Standard 140-2004), 0.6 of the gain is radiant."""
    assert house.node_sun_floor.sum() == pytest.approx(1.0)
    assert house.node_sun_floor.max() == pytest.approx(0.642 / 0.965)
    assert np.sum(house.node_gain) == pytest.approx(0.6)


def test_walls_that_are_alike_are_one(weather: gs.Weather, house: House) -> None:
    """Four walls of one kind, roof, floor and window: four chains."""
    assert len(house.end_g) == 4
    assert make_house(scenario("900", weather.name, 1650.0), weather).end_g == pytest.approx(
        [63.6 / (0.1 / 0.51 / 6 + 0.0615 / 0.04 + 0.009 / 0.14 + 1 / 16.53353),
         *house.end_g[1:2], 48.0 / (0.08 / 1.13 / 6 + 1.007 / 0.04 + 1 / 5.43353),
         *house.end_g[3:]], rel=1e-6,
    )  # fmt: skip


@pytest.mark.parametrize("case", ["600", "900"])
def test_a_closed_room_balances_its_books(case: str, weather: gs.Weather) -> None:
    """Through the public API: sun, gain and heat are loss and storage to a billionth."""
    plan = scenario(case, weather.name, weather.elevation_m, ("01-01", "01-20"))
    ledger = gs.simulate(plan, weather, engine="python").ledger
    assert abs(ledger["balance_error"]) < 1e-9
    assert ledger["heat_delivered_kWh"] > 50.0
    assert ledger["envelope_loss_kWh"] > 50.0


def test_a_capacity_outside_its_wall_is_refused() -> None:
    plan = box("900", 0.0)
    plan["surface"][0]["heat_capacity_behind"] = "5 m^2*K/W"
    with pytest.raises(ScenarioError, match=r"heat_capacity_behind: .* behind the whole surface"):
        gs.scenario_from_dict(
            {"site": {"weather": ["x.csv"]}, "greenhouse": plan, "heater": {"kind": "ideal"}}
        )
