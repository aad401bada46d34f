"""Any greenhouse, heater and routine: energy closes, nothing is missing, the air stays sane."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import greenhouse_sim as gs
from greenhouse_sim.drive.cache import made
from greenhouse_sim.heater.catalogue import heater_names
from greenhouse_sim.season.run import ready
from greenhouse_sim.weather import find_weather

SOME = settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
HOURS = 240
COVERS = ("single poly", "double poly inflated IR", "single glass", "twin-wall polycarbonate 8 mm")


@pytest.fixture(autouse=True)
def nothing_on_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("greenhouse_sim.season.run.prepare", made)


@pytest.fixture(scope="module")
def demo() -> gs.Scenario:
    return gs.read_scenario(gs.demo_path())


@pytest.fixture(scope="module")
def samples() -> tuple[gs.Weather, ...]:
    names = ("tamarack_flats_severe.csv", "selkie_sound_typical.csv")
    return tuple(gs.winters(gs.read_weather(find_weather(name, ".")))[0] for name in names)


@st.composite
def plans(draw: st.DrawFn) -> dict[str, Any]:
    width, length = draw(st.integers(12, 40)), draw(st.integers(10, 150))
    night = draw(st.floats(0.0, 14.0))
    plan: dict[str, Any] = {
        "greenhouse.width": f"{width} ft",
        "greenhouse.length": f"{length} ft",
        "greenhouse.sidewall": "4 ft",
        "greenhouse.ridge": f"{4 + width * draw(st.floats(0.2, 0.5)):.2f} ft",
        "greenhouse.cover": draw(st.sampled_from(COVERS)),
        "greenhouse.tightness": draw(st.sampled_from(("tight", "good", "leaky"))),
        "greenhouse.planted_share": draw(st.floats(0.0, 1.0)),
        "crop.setpoint": {"day": night + draw(st.floats(0.0, 6.0)), "night": night},
        "heater": {
            "kind": draw(st.sampled_from(heater_names())),
            "count": draw(st.integers(1, 3)),
        },
        "fuel.moisture": draw(st.floats(0.05, 0.5)),
        "routine.up": draw(st.sampled_from(("05:00", "06:30", "08:00"))),
        "routine.bed": draw(st.sampled_from(("20:30", "22:00", "00:30"))),
        "routine.gets_up_below": draw(st.sampled_from(("never", "30 degF", "45 degF"))),
        "routine.looks_ahead": draw(st.sampled_from(("forecast", "habit"))),
        "routine.chores": draw(st.sampled_from(("none", ["08:00"], ["08:00", "13:00", "19:00"]))),
        "routine.load_for": f"{draw(st.floats(0.5, 12.0)):.2f} h",
    }
    if draw(st.booleans()):
        plan["fuel.pile"] = "0.3 cord"
    if draw(st.booleans()):
        plan["backup"] = {"kind": "propane heater", "starts_below": "34 degF"}
    if draw(st.booleans()):
        plan["greenhouse.mass"] = [{"what": "water barrels", "count": 8, "volume": "55 gal"}]
    return plan


def cut(winter: gs.Weather, first: int) -> gs.Weather:
    parts = {key: values[first : first + HOURS] for key, values in winter.columns().items()}
    return replace(winter, start=winter.start + timedelta(hours=first), **parts)


@given(
    plan=plans(),
    place=st.integers(0, 1),
    first=st.integers(0, 5088 - HOURS),
    engine=st.sampled_from(("python", "compiled")),
)
@SOME
def test_any_plan(
    demo: gs.Scenario, samples: tuple[gs.Weather, ...], plan: dict[str, Any], place: int,
    first: int, engine: str,
) -> None:  # fmt: skip
    weather = cut(samples[place], first)
    scenario = demo.with_(**plan)
    season = gs.compare(
        scenario, [scenario.heater.kind], [weather], traced=True, engine=engine
    ).seasons[0]
    row, trace = season.ledger, season.trace
    assert row["balance_error"] < 1e-6
    assert np.isfinite(trace.drop(columns="cause").to_numpy(dtype=float)).all()
    assert sum(row["cold_hours_by_cause"].values()) == row["hours_below_setpoint"]
    assert sum(row["fuel_by_month"].values()) == pytest.approx(row["fuel_kg"], abs=1e-9)
    assert row["nights_with_wakeup"] <= row["night_wakeups"]
    assert trace.fuel_left_kg.min() >= 0.0
    check_bounds(scenario, weather, season)


def check_bounds(scenario: gs.Scenario, weather: gs.Weather, season: gs.Season) -> None:
    """The maximum principle: air stays between its surroundings, but for what heats or cools it."""
    drive, trace = season.drive, season.trace
    house = ready(scenario, weather).house
    places = [drive.t_out, drive.t_ground, drive.setpoint[:1], house.node_start]
    least_w_k = float(drive.loss_w_k.min())
    sun = drive.sun_air_w + drive.sun_floor_w + drive.sun_mass_w
    # an hour's mean of two half hours, so a half hour has twice its heat at most
    heat = 2.0 * trace.heater_W.max() + trace.backup_W.max() * 2.0
    warming = sun.max() + max(-drive.sky_w.min(), 0.0) + heat
    low = min(float(place.min()) for place in places) - max(drive.sky_w.max(), 0.0) / least_w_k
    high = max(float(place.max()) for place in places) + warming / least_w_k
    assert low - 1e-6 <= season.ledger["lowest_air_C"]
    assert season.ledger["highest_air_C"] <= max(high, scenario.crop.setpoint_day) + 1e-6


@given(
    plan=plans(),
    t_out=st.floats(-35.0, -5.0),
    engine=st.sampled_from(("python", "compiled")),
)
@SOME
def test_free_floating_air_does_not_swing(
    demo: gs.Scenario, samples: tuple[gs.Weather, ...], plan: dict[str, Any], t_out: float,
    engine: str,
) -> None:  # fmt: skip
    """No fire, no sun, constant cold: the air falls to its limit and never turns back."""
    base = cut(samples[0], 2000)
    flat = {"t_out_C": t_out, "t_dew_C": t_out - 4.0, "wind_m_s": 4.0, "cloud": 0.5}
    flat |= {"ghi_W": 0.0, "dni_W": 0.0, "dhi_W": 0.0, "pressure_Pa": 98e3}
    # infrared as measured: the sky's correlations have a daily swing of their own
    flat["ir_down_W"] = 0.85 * 5.670374419e-8 * (t_out + 273.15) ** 4
    weather = replace(base, **{key: np.full(HOURS, value) for key, value in flat.items()})
    away = [[str(weather.start), str(weather.start + timedelta(hours=HOURS))]]
    nobody = {"heater": "wood stove, small", "backup": None, "routine.away": away}
    # one setpoint: vapour is that of a house held at it, and would have a daily swing of its own
    level = {"day": plan["crop.setpoint"]["night"], "night": plan["crop.setpoint"]["night"]}
    scenario = demo.with_(**{**plan, **nobody, "crop.setpoint": level})
    season = gs.compare(
        scenario, ["wood stove, small"], [weather], traced=True, engine=engine
    ).seasons[0]
    assert season.ledger["visits"] == 0
    air = season.trace.air_C.to_numpy()
    falls = np.diff(air)
    assert falls.max() <= 1e-6
    assert air[-1] > t_out - 8.0
    # nearer and nearer: the last day's fall is a small part of the first day's
    assert air[-25] - air[-1] <= 0.5 * (season.drive.setpoint[0] - air[23]) + 1e-6
