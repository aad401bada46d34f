"""The sun through windows of building glass, and on the outside of a closed room."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.drive.drive import make_drive
from greenhouse_sim.greenhouse.shape import shell
from greenhouse_sim.greenhouse.skin import skins
from greenhouse_sim.greenhouse.window import by_angle, even_light
from outside.boxes import scenario, typical_winter


def gain(degrees: float, panes: int) -> float:
    """Heat gain over that at normal incidence."""
    return float(by_angle(np.cos(np.radians(degrees)), panes))


@pytest.mark.parametrize(
    ("degrees", "panes", "published"),
    [
        (40, 1, 0.850 / 0.860), (55, 1, 0.800 / 0.860), (70, 1, 0.650 / 0.860),
        (80, 1, 0.420 / 0.860), (40, 2, 0.731 / 0.749), (55, 2, 0.687 / 0.749),
        (70, 2, 0.520 / 0.749), (80, 2, 0.265 / 0.749),
    ],
)  # fmt: skip
def test_clear_glass_of_another_program(degrees: float, panes: int, published: float) -> None:
    """Total heat gain of clear 4 mm glass at five angles, one and two panes, in the optical data of
    an open simulation program (read). Ours is of 3 mm glass, from another source. Reached: 0.05."""
    assert gain(degrees, panes) == pytest.approx(published, abs=0.055)


@pytest.mark.parametrize(("panes", "published"), [(1, 0.78 / 0.86), (2, 0.66 / 0.76)])
def test_light_from_a_hemisphere(panes: int, published: float) -> None:
    """ASHRAE Fundamentals 2009, chapter 15, table 10, clear glass of 3 mm: hemispherical 0.78
    of one pane and 0.66 of two (from memory), 0.86 and 0.76 at normal incidence."""
    assert even_light(panes) == pytest.approx(published, abs=0.01)


@pytest.mark.parametrize("panes", [1, 2])
def test_all_at_normal_incidence_and_nothing_from_behind(panes: int) -> None:
    share = by_angle(np.array([1.0, 0.9, 0.5, 0.2, 0.0, -0.4]), panes)
    assert share[0] == 1.0
    assert share[-2:].tolist() == [0.0, 0.0]
    assert (np.diff(share) <= 0.0).all()


def test_two_panes_lose_more_aslant_than_one() -> None:
    for degrees in (50.0, 60.0, 70.0, 80.0):
        assert gain(degrees, 2) < gain(degrees, 1)


def test_only_a_room_with_its_floor_has_windows() -> None:
    """Clear surfaces over soil are covers, whose sheets follow the law of reflection alone."""
    room = scenario("600", "x.csv", 0.0)
    (window,) = (one for one in skins(room, shell(room)) if not one.opaque)
    assert window.building_glass
    assert window.diffuse == pytest.approx(0.769 * even_light(2))
    over_soil = gs.scenario_from_dict(
        {
            "site": {"weather": ["x.csv"]},
            "greenhouse": {
                "shape": "surfaces", "floor_area": "48 m^2", "volume": "130 m^3",
                "surface": [
                    {"name": "roof", "area": "60 m^2", "tilt": 20.0, "azimuth": "south",
                     "u_value": "4 W/m^2/K", "solar_transmittance": 0.7},
                ],
            },
            "heater": {"kind": "ideal"},
        }
    )  # fmt: skip
    assert not any(one.building_glass for one in skins(over_soil, shell(over_soil)))


def test_wind_takes_the_sun_off_a_wall() -> None:
    """ASHRAE Fundamentals 1989, smooth plaster: 10.22 + 3.1 v, so that of the sun on a wall and a
    roof a wind of 10 m/s leaves 10.22/(10.22 + 31) of what gets in through them in a calm."""
    weather = typical_winter()
    plan = scenario("600", weather.name, weather.elevation_m)
    height = shell(plan).wind_height_m
    sent = []
    for wind in (0.0, 10.0):
        at_eaves = np.full_like(weather.wind_m_s, wind / (height / 10.0) ** 0.14)
        sent.append(make_drive(plan, with_wind(weather, at_eaves)).outside_w)
    kinds = np.abs(sent[0]).max(axis=0) > 0.0
    # walls and roof, neither the sheltered floor nor the window, whose film is another
    opaque = np.flatnonzero(kinds)[:2]
    left = sent[1][:, opaque].sum() / sent[0][:, opaque].sum()
    assert left == pytest.approx(10.22 / (10.22 + 31.0), rel=1e-6)


def with_wind(weather: gs.Weather, wind_m_s: np.ndarray) -> gs.Weather:
    """The same hours in another wind."""
    return replace(weather, wind_m_s=wind_m_s)
