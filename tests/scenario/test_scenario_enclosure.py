"""Surfaces that leave a hole, curtains with nothing to hang under: refused with the remedy."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.greenhouse.shape import ridge_house
from greenhouse_sim.scenario import Scenario, scenario_from_dict

FLOOR = {"floor_area": "48 m^2", "volume": "129.6 m^3"}
WALL = {"u_value": "0.5 W/m^2/K", "opaque": True, "absorptance": 0.6}
PANE = {"u_value": "3 W/m^2/K", "solar_transmittance": 0.7}
HOOP = {"width": "30 ft", "length": "72 ft", "sidewall": "5 ft", "ridge": "13 ft"}
CURTAIN = {"night_curtain": {"cover": "thermal curtain", "share": 0.9, "closed": "dark"}}


def face(area: float, tilt: float, azimuth: float | str, **made: Any) -> dict[str, Any]:
    return {"area": f"{area} m^2", "tilt": tilt, "azimuth": azimuth, **(made or WALL)}


def box() -> list[dict[str, Any]]:
    """8 m × 6 m × 2.7 m with a south window of 12 m²; its floor is given by floor_area."""
    return [
        face(21.6, 90, "north"), face(16.2, 90, "east"), face(16.2, 90, "west"),
        face(9.6, 90, "south"), face(12.0, 90, "south", **PANE), face(48.0, 0, 0),
    ]  # fmt: skip


def built(surfaces: list[dict[str, Any]], **more: Any) -> Scenario:
    house = {"shape": "surfaces", **FLOOR, **more, "surface": surfaces}
    return farm(house)


def farm(house: dict[str, Any]) -> Scenario:
    return scenario_from_dict(
        {"site": {"weather": "any.csv"}, "greenhouse": house, "heater": {"kind": "ideal"}}
    )


def refused(house: dict[str, Any]) -> str:
    with pytest.raises(ScenarioError) as caught:
        farm(house)
    assert "\n" not in str(caught.value)
    return str(caught.value)


def test_a_box_closes_with_its_floor_given_or_listed() -> None:
    assert len(built(box()).greenhouse.surface) == 6
    assert built(box(), floor_u_value="0.04 W/m^2/K")
    assert built([*box(), face(48.0, 180, 0)])


@pytest.mark.parametrize(
    ("lost", "words"),
    [
        (0, ["towards north", 'area = "233 ft^2", tilt = 90, azimuth = 0']),
        (2, ["towards west", 'area = "174 ft^2", tilt = 90, azimuth = 270']),
        (4, ["towards south", 'area = "129 ft^2", tilt = 90, azimuth = 180']),
        (5, ["upwards", 'area = "517 ft^2", tilt = 0 and']),
    ],
)
def test_the_row_that_would_close_a_box_is_named(lost: int, words: list[str]) -> None:
    rows = box()
    del rows[lost]
    message = refused({"shape": "surfaces", **FLOOR, "surface": rows})
    for word in ["[greenhouse] surface: the surfaces do not close", *words]:
        assert word in message


def test_a_floor_that_is_listed_must_fit() -> None:
    rows = [*box(), face(24.0, 180, 0)]
    message = refused({"shape": "surfaces", **FLOOR, "surface": rows})
    assert "downwards" in message
    assert 'area = "258 ft^2", tilt = 180' in message


def test_a_slope_that_was_turned_round_is_found() -> None:
    rows = [face(30.0, 37, 180, **PANE), face(30.0, 37, 180), face(9.0, 90, 90), face(9.0, 90, 270)]
    message = refused({"shape": "surfaces", **FLOOR, "surface": rows})
    assert "towards north" in message


def test_a_sizing_sheet_and_a_room_with_one_facade_stay_legal() -> None:
    """They face fewer ways than any body has, so nobody can have meant a whole shell."""
    assert built([face(300.0, 90, 180, **PANE), face(30.0, 90, 180)])
    assert built([face(12.0, 90, "south", **PANE), face(63.6, 90, "north")])


def test_a_list_of_one_small_window_is_refused() -> None:
    message = refused({"shape": "surfaces", **FLOOR, "surface": [face(12.0, 90, "south", **PANE)]})
    assert "129 ft² (12.0 m²) stands over a floor of 517 ft² (48.0 m²)" in message
    assert 'u_value = "0 W/m^2/K"' in message


@given(
    width=st.floats(3.0, 20.0), length=st.floats(3.0, 60.0), sidewall=st.floats(0.5, 4.0),
    slope=st.floats(0.2, 1.0), way=st.floats(0.0, 179.0), off=st.floats(-0.01, 0.01),
    shape=st.sampled_from(["gable", "gothic", "hoop"]),
)  # fmt: skip
def test_every_house_of_ours_listed_by_hand_closes(
    width: float, length: float, sidewall: float, slope: float, way: float, off: float, shape: str
) -> None:
    """Flat facets written with a decimal of tilt and each area up to a hundredth off."""
    shell = ridge_house(shape, width, length, sidewall, sidewall + 0.5 * slope * width, way)
    sign = [1.0, -1.0]
    rows = [
        face(part.flat_m2 * (1.0 + off * sign[k % 2]), round(part.tilt_deg, 1), part.azimuth_deg)
        for k, part in enumerate(shell.parts)
        if part.part != "floor"
    ]
    house = {"floor_area": f"{shell.floor_m2} m^2", "volume": f"{shell.volume_m3} m^3"}
    assert built(rows, **house)


def test_curtain_in_a_house_without_glazing() -> None:
    solid = [{**row, **WALL} for row in box()]
    for row in solid:
        row.pop("solar_transmittance", None)
    message = refused({"shape": "surfaces", **FLOOR, "surface": solid, **CURTAIN})
    assert "[greenhouse] night_curtain: has no cover to hang under" in message
    assert "solar_transmittance" in message
    assert built(box(), **CURTAIN)


@pytest.mark.parametrize(
    ("cover", "hangs"),
    [
        ("insulated panel", False),
        ({"roof": "insulated panel", "sides": "single poly", "ends": "insulated panel"}, True),
        ({"roof": "insulated panel", "sides": "insulated panel", "ends": "single poly"}, True),
    ],
)
def test_curtain_under_a_cover_of_panels(cover: Any, hangs: bool) -> None:
    house = {**HOOP, "cover": cover, **CURTAIN}
    if hangs:
        assert farm(house)
        return
    message = refused(house)
    assert "[greenhouse] night_curtain: has no cover to hang under: every part is opaque" in message
    assert 'night_curtain = "none"' in message


def test_clear_sides_of_no_height_hold_no_curtain() -> None:
    cover = {"roof": "insulated panel", "sides": "single poly", "ends": "insulated panel"}
    flat = {**HOOP, "sidewall": "0 ft", "ridge": "13 ft", "cover": cover, **CURTAIN}
    assert "no cover to hang under" in refused(flat)


@pytest.mark.parametrize(("absorbs", "fits"), [(0.3, True), (0.31, False)])
def test_no_more_light_goes_through_and_in_than_falls(absorbs: float, fits: bool) -> None:
    rows = box()
    rows[4]["absorptance"] = absorbs
    if fits:
        assert built(rows)
        return
    message = refused({"shape": "surfaces", **FLOOR, "surface": rows})
    assert "surface 5, absorptance" in message
    assert "add up to 1.01; write values that add up to 1 at most" in message
    assert math.isclose(0.7 + absorbs, 1.01)
