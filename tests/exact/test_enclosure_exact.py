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


@pytest.fixture(scope="module")
def weather() -> gs.Weather:
    return typical_winter()


@pytest.fixture(scope="module")
def house(weather: gs.Weather) -> House:
    return make_house(scenario("600", weather.name, weather.elevation_m), weather)


def test_loss_of_the_light_box_by_hand(house: House) -> None:
    """Faces and a common radiant node written out, m² and W/m²K: walls 63.6 at 0.514, roof and
    floor 48 each at 0.318 and 0.039, window 12 at 2.10; inner film of all U-values 8.3."""
    parts = [(63.6, 0.514, "wall"), (48.0, 0.318, "roof"), (48.0, 0.039, "floor"),
             (12.0, 2.10, "window")]  # fmt: skip
    matrix, right = np.zeros((5, 5)), np.zeros(5)
    for k, (area, u, place) in enumerate(parts):
        convection, radiant = area * number(f"convection_{place}"), area * number("radiant_film")
        out = area / (1.0 / u - 1.0 / 8.3)
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
    assert to_outdoors == pytest.approx(by_hand, rel=1e-9)
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
        [63.6 / (1 / 0.512 - 1 / 8.3 - 0.1 / 0.51 * 5 / 6), *house.end_g[1:2],
         48.0 / (1 / 0.039 - 1 / 8.3 - 0.08 / 1.13 * 5 / 6), *house.end_g[3:]]
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
