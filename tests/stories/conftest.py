"""Plain weather and a small farm, to which the stories of this folder happen."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.weather import find_weather

DAYS = 20


def steady_weather(t_out: Any = -10.0, days: int = DAYS) -> gs.Weather:
    """Overcast polar night from noon of 5 January: no sun, 4 m/s of wind, ``t_out`` °C."""
    hours = 24 * days
    cold = np.broadcast_to(np.asarray(t_out, dtype=float), hours).copy()
    flat = {
        "pressure_Pa": 98e3, "wind_m_s": 4.0, "ghi_W": 0.0, "dni_W": 0.0, "dhi_W": 0.0,
        "cloud": 0.7, "ir_down_W": np.nan, "snow_m": np.nan,
    }  # fmt: skip
    return gs.Weather(
        name="steady",
        site="Nowhere Flats",
        start=datetime(2026, 1, 5, 12),
        utc_offset_h=-6.0,
        latitude=46.9,
        longitude=-96.8,
        elevation_m=270.0,
        t_out_C=cold,
        t_dew_C=cold - 5.0,
        **{name: np.full(hours, value) for name, value in flat.items()},
    )


def house_of(width: int, length: int, sidewall: int, ridge: int) -> dict[str, str]:
    sizes = {"width": width, "length": length, "sidewall": sidewall, "ridge": ridge}
    return {f"greenhouse.{name}": f"{size} ft" for name, size in sizes.items()}


@pytest.fixture(scope="session")
def steady() -> Callable[..., gs.Weather]:
    return steady_weather


@pytest.fixture(scope="session")
def sized() -> Callable[..., dict[str, str]]:
    return house_of


@pytest.fixture(scope="session")
def farm() -> gs.Scenario:
    """A 16 × 24 ft hoop house at 45 °F day and night: it needs 6.4 kW at −10 °C."""
    demo = gs.read_scenario(gs.demo_path())
    return demo.with_(**house_of(16, 24, 3, 9), **{"crop.setpoint": "45 degF"})


@pytest.fixture(scope="session")
def play() -> Callable[..., gs.Season]:
    """Run one heater through a story, with its trace."""

    def run(scenario: gs.Scenario, heater: str, weather: gs.Weather | None = None) -> gs.Season:
        winter = steady_weather() if weather is None else weather
        return gs.compare(scenario, [heater], [winter], traced=True, engine="compiled").seasons[0]

    return run


@pytest.fixture(scope="session")
def demo() -> gs.Scenario:
    return gs.read_scenario(gs.demo_path())


@pytest.fixture(scope="session")
def sample_winter(demo: gs.Scenario) -> gs.Weather:
    """The continental sample's typical winter."""
    record = gs.read_weather(find_weather("tamarack_flats_typical.csv", "."))
    return gs.winters(record, demo.site.season_start, demo.site.season_end)[0]
