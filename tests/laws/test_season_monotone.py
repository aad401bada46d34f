"""Colder outside, a higher setpoint, a poorer cover or a leak never need less heat.

On the ideal heater, ten days of a sample winter at a time.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import greenhouse_sim as gs
from greenhouse_sim.drive.cache import made
from greenhouse_sim.weather import find_weather

FEW = settings(
    max_examples=8,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
HOURS = 240
FIRST = st.integers(0, 5088 - HOURS)
COVERS_BY_U = (
    "single poly", "single glass", "double poly inflated", "double glass",
    "twin-wall polycarbonate 10 mm", "triple-wall polycarbonate 16 mm",
)  # fmt: skip
"""From poor to good: 6.8, 5.9, 4.0, 3.7, 3.2, 2.4 W/m²K in the cover table."""


@pytest.fixture(scope="module")
def demo() -> gs.Scenario:
    return gs.read_scenario(gs.demo_path()).with_(**{"site.deep_ground": "8 degC"})


@pytest.fixture(scope="module")
def winter() -> gs.Weather:
    record = gs.read_weather(find_weather("tamarack_flats_typical.csv", "."))
    return gs.winters(record)[0]


@pytest.fixture(autouse=True)
def nothing_on_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    """Prepare each winter anew: hundreds of passing ones need no place on disk."""
    monkeypatch.setattr("greenhouse_sim.season.run.prepare", made)


def cut(winter: gs.Weather, first: int, dark: bool = False) -> gs.Weather:
    parts = {key: values[first : first + HOURS] for key, values in winter.columns().items()}
    if dark:
        parts |= {key: np.zeros(HOURS) for key in ("ghi_W", "dni_W", "dhi_W")}
    return replace(winter, start=winter.start + timedelta(hours=first), **parts)


def need(scenario: gs.Scenario, weather: gs.Weather) -> float:
    season = gs.compare(scenario, ["ideal"], [weather], engine="compiled").seasons[0]
    return float(season.ledger["heat_need_kWh"])


@given(first=FIRST, colder=st.floats(0.05, 12.0))
@FEW
def test_colder_outside(demo: gs.Scenario, winter: gs.Weather, first: int, colder: float) -> None:
    one = cut(winter, first)
    # clear and cloudy skies cool with the air
    other = replace(one, t_out_C=one.t_out_C - colder, t_dew_C=one.t_dew_C - colder)
    assert need(demo, other) >= need(demo, one)


@given(first=FIRST, day=st.floats(5.0, 18.0), night=st.floats(1.0, 18.0), more=st.floats(0.05, 6.0))
@FEW
def test_higher_setpoint(
    demo: gs.Scenario, winter: gs.Weather, first: int, day: float, night: float, more: float
) -> None:
    weather = cut(winter, first)
    low, high = (
        {"crop.setpoint": {"day": day + add, "night": min(night, day) + add}} for add in (0.0, more)
    )
    assert need(demo.with_(**high), weather) >= need(demo.with_(**low), weather)


@given(first=FIRST, covers=st.lists(st.sampled_from(COVERS_BY_U), min_size=2, max_size=2))
@FEW
def test_better_cover(demo: gs.Scenario, winter: gs.Weather, first: int, covers: list[str]) -> None:
    """In the dark: by day a better cover also lets less sun through."""
    weather = cut(winter, first, dark=True)
    poor, good = sorted(covers, key=COVERS_BY_U.index)
    needs = [need(demo.with_(**{"greenhouse.cover": name}), weather) for name in (poor, good)]
    assert needs[0] >= needs[1]


@given(first=FIRST, leak=st.floats(0.0, 2.0), more=st.floats(0.01, 3.0))
@FEW
def test_more_leakage(
    demo: gs.Scenario, winter: gs.Weather, first: int, leak: float, more: float
) -> None:
    weather = cut(winter, first)
    needs = [
        need(demo.with_(**{"greenhouse.air_changes": f"{rate} /hour"}), weather)
        for rate in (leak, leak + more)
    ]
    assert needs[1] >= needs[0]


@pytest.mark.parametrize("grade", [("tight", "good"), ("good", "fair"), ("fair", "leaky")])
def test_poorer_tightness(demo: gs.Scenario, winter: gs.Weather, grade: tuple[str, str]) -> None:
    weather = cut(winter, 2400)
    needs = [need(demo.with_(**{"greenhouse.tightness": name}), weather) for name in grade]
    assert needs[1] > needs[0]


def test_curtain_north_wall_and_insulation_save(demo: gs.Scenario, winter: gs.Weather) -> None:
    weather = cut(winter, 2400, dark=True)
    plain = need(demo, weather)
    for better in (
        {"greenhouse.night_curtain": {"cover": "thermal curtain", "share": 0.9}},
        {"greenhouse.north_wall": {"r_value": "20 ft^2*degF*hr/Btu"}},
        {"greenhouse.perimeter_insulation": "R10 2 ft"},
    ):
        assert need(demo.with_(**better), weather) < plain
