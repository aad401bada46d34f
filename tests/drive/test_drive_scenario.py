"""Scenarios as a grower writes them, prepared for the kernel."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from greenhouse_sim.drive.cache import key, prepare
from greenhouse_sim.drive.drive import make_drive, make_house
from greenhouse_sim.greenhouse.numbers import House
from greenhouse_sim.scenario import scenario_from_dict

HOOP = {"width": "30 ft", "length": "72 ft", "sidewall": "5 ft", "ridge": "13 ft"}
LEAN = {"width": "10 ft", "length": "40 ft", "sidewall": "4 ft", "ridge": "10 ft"}
DRUMS = [{"what": "water barrels", "count": 12, "volume": "55 gal"}]
HOUSES: dict[str, dict[str, Any]] = {
    "hoop": {**HOOP, "shape": "hoop", "mass": DRUMS, "perimeter_insulation": "R10 2 ft"},
    "gothic": {**HOOP, "shape": "gothic", "north_wall": {"r_value": "20 ft^2*degF*hr/Btu"}},
    "gable": {
        **HOOP,
        "shape": "gable",
        "cover": {"roof": "double glass", "sides": "single glass", "ends": "insulated panel"},
        "night_curtain": {"cover": "aluminised curtain", "closed": ["17:00", "08:00"]},
    },
    "lean-to": {**LEAN, "shape": "lean-to", "ridge_runs": "east-west"},
    "lean-to on a house": {
        **LEAN,
        "shape": "lean-to",
        "wall": {"r_value": "13 ft^2*degF*hr/Btu", "other_side": "60 degF"},
    },
    "dome": {"shape": "dome", "width": "26 ft", "ridge": "12 ft"},
    "box": {
        "shape": "surfaces",
        "floor_area": "48 m^2",
        "volume": "129.6 m^3",
        "floor_u_value": "0.04 W/m^2/K",
        "air_changes": "0.5 /hour",
        "internal_gain": "200 W",
        "ideal_cooling_above": "27 degC",
        "surface": [
            {
                "area": "12 m^2",
                "tilt": 90,
                "u_value": "3 W/m^2/K",
                "solar_transmittance": 0.7,
            },
            {
                "area": "63.6 m^2",
                "tilt": 90,
                "azimuth": "north",
                "u_value": "0.5 W/m^2/K",
                "opaque": True,
                "absorptance": 0.6,
                "heat_capacity": "14.5 kJ/m^2/K",
            },
        ],
    },
}


def scenario_of(name: str, **crop: Any) -> Any:
    return scenario_from_dict(
        {
            "site": {"weather": ["any.csv"]},
            "greenhouse": HOUSES[name],
            "heater": {"kind": "wood stove, large"},
            "crop": crop,
        }
    )


def check_house(house: House) -> None:
    """What the kernel takes for granted."""
    chains, nodes = len(house.end_g), len(house.node_c)
    assert house.chain_start.dtype == np.int64
    assert house.chain_start.tolist() == sorted(set(house.chain_start.tolist()))
    assert house.chain_start[-1] == nodes == len(house.node_g) == len(house.node_start)
    assert len(house.chain_start) == chains + 1
    assert (house.node_c > 0.0).all()
    assert (house.node_g > 0.0).all()
    assert house.node_sun_floor.sum() == pytest.approx(1.0 if nodes else 0.0)
    assert house.node_heat.sum() == pytest.approx(1.0 if nodes else 0.0)
    assert house.node_sun_mass.sum() in (0.0, pytest.approx(1.0))
    for name, value in house._asdict().items():
        assert isinstance(value, float | np.ndarray), name
    assert house.quick_c >= house.air_c > 0.0


@pytest.mark.parametrize("name", sorted(HOUSES))
def test_every_shape_is_ready_for_the_kernel(weather: Any, name: str) -> None:
    scene, record = scenario_of(name), weather(72, 1.0)
    house = make_house(scene, record)
    drive = make_drive(scene, record, house)
    check_house(house)
    for field, values in drive._asdict().items():
        assert values.dtype == np.float64, field
        assert values.flags["C_CONTIGUOUS"], field
        assert np.isfinite(values).all(), field
        assert len(values) == 72 + (field == "need_sum_j"), field
    assert drive.need_w.max() > 0.0
    assert (drive.sun_mass_w == 0.0).all() or house.node_sun_mass.sum() > 0.0
    assert (drive.sun_floor_w == 0.0).all() or house.node_sun_floor.sum() > 0.0


def test_real_scenario_is_kept_on_disk(
    weather: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    scene, record = scenario_of("hoop"), weather(48, 1.0)
    made, held = prepare(scene, record), prepare(scene, record)
    assert all(np.array_equal(a, b) for a, b in zip(made[1], held[1], strict=True))
    warmer = scenario_of("hoop", vent_at="85 degF")
    assert key(warmer, record) != key(scene, record)
