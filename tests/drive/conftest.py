"""A greenhouse and weather that the tests of this folder change as they like."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from greenhouse_sim.weather.weather import Weather

FT = 0.3048


def one_cover(name: str) -> SimpleNamespace:
    return SimpleNamespace(roof=name, sides=name, ends=name, north=None)


def farm_with(**change: Any) -> SimpleNamespace:
    """A 30 × 72 ft hoop house; keys change the greenhouse, ``crop_…`` and ``site_…`` the others."""
    green: dict[str, Any] = {
        "shape": "hoop", "width": 30 * FT, "length": 72 * FT, "sidewall": 5 * FT, "ridge": 13 * FT,
        "ridge_runs": 90.0, "faces": 180.0, "cover": one_cover("double poly inflated"),
        "north_wall": None, "wall_behind": None, "night_curtain": None, "tightness": "good",
        "air_changes": None, "perimeter_insulation": "none", "planted_share": 0.7,
        "structure_share": 0.15, "vent_air_changes": 40 / 3600.0,
        "floor": SimpleNamespace(conductivity=1.2, heat_capacity=2.2e6), "mass": (), "surface": (),
        "floor_area": None, "volume": None, "heat_capacity": None, "internal_gain": 0.0,
        "floor_u_value": None, "ideal_cooling_above": None,
    }  # fmt: skip
    crop: dict[str, Any] = {
        "setpoint_day": 10.0, "setpoint_night": 5.6, "schedule": (), "rise": 1000.0,
        "vent_at": 27.0, "damage_below": -3.0,
    }  # fmt: skip
    site: dict[str, Any] = {
        "name": "here", "weather": (), "latitude": None, "longitude": None, "elevation": None,
        "utc_offset": None, "terrain": "open", "ground_reflectance": 0.2, "deep_ground": None,
        "power_cuts": (),
    }  # fmt: skip
    for name, value in change.items():
        section = crop if name.startswith("crop_") else site if name.startswith("site_") else green
        section[name.removeprefix("crop_").removeprefix("site_")] = value
    return SimpleNamespace(
        greenhouse=SimpleNamespace(**green),
        crop=SimpleNamespace(**crop),
        site=SimpleNamespace(**site),
    )


def weather_with(hours: int = 240, sunny: float = 0.0, **change: Any) -> Weather:
    """Constant weather from 1 January at 45 N; ``sunny`` scales a plain day of sun."""
    hour = np.arange(hours) % 24 + 0.5
    day = np.maximum(np.cos((hour - 12.0) / 9.0 * np.pi), 0.0) * sunny
    flat: dict[str, Any] = {
        "t_out_C": -10.0, "t_dew_C": -15.0, "pressure_Pa": 101325.0, "wind_m_s": 4.0,
        "dni_W": 700.0 * day, "dhi_W": 80.0 * day, "ghi_W": 330.0 * day, "cloud": 0.5,
        "ir_down_W": np.nan, "snow_m": np.nan,
    }  # fmt: skip
    place: dict[str, Any] = {
        "name": "steady", "site": "here", "start": datetime(2001, 1, 1), "utc_offset_h": 0.0,
        "latitude": 45.0, "longitude": 0.0, "elevation_m": 0.0,
    }  # fmt: skip
    for name, value in change.items():
        (flat if name in flat else place)[name] = value
    arrays = {name: np.broadcast_to(value, hours).astype(float) for name, value in flat.items()}
    return Weather(**place, **arrays)


@pytest.fixture
def farm() -> Callable[..., SimpleNamespace]:
    return farm_with


@pytest.fixture
def weather() -> Callable[..., Weather]:
    return weather_with


@pytest.fixture
def cover_all() -> Callable[[str], SimpleNamespace]:
    return one_cover
