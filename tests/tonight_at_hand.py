"""An evening on a small invented farm, for the tests of tonight."""

from __future__ import annotations

import functools
from datetime import datetime, timedelta

import numpy as np

import greenhouse_sim as gs
from greenhouse_sim.plans.tonight import Tonight, tonight
from greenhouse_sim.plans.tonight_fire import Present
from greenhouse_sim.plans.tonight_forecast import Forecast
from greenhouse_sim.season.run import Winter
from winters_at_hand import demo, winter

AT = datetime(2027, 1, 12, 18)
HOURS = 40
STOVE = {
    "heater": "wood stove, large",
    "greenhouse__width": "20 ft",
    "greenhouse__length": "40 ft",
    "greenhouse__ridge": "9 ft",
}


@functools.cache
def farm(kind: str = "wood stove, large") -> tuple[gs.Scenario, Winter]:
    """The farm with a heater, and its winter made ready."""
    scenario = demo(**(STOVE | {"heater": kind}))
    return scenario, winter(scenario)


def forecast(coldest_C: float, swing_K: float = 8.0, hours: int = HOURS) -> Forecast:
    """A clear night that is coldest at 6 o'clock, issued at AT."""
    clock = AT.hour + np.arange(hours)
    t_out = coldest_C + 0.5 * swing_K * (1.0 - np.cos(2.0 * np.pi * (clock - 6) / 24.0))
    columns = {"t_out_C": t_out, "wind_m_s": np.full(hours, 3.0), "cloud": np.full(hours, 0.3)}
    return Forecast("made up", AT, AT, columns, "t_air [degC]")


@functools.cache
def night(
    coldest_C: float, kind: str = "wood stove, large", fuel_kg: float | None = 5.0,
    air_C: float = 8.0, at: datetime = AT,
) -> Tonight:  # fmt: skip
    """The answer for such a night."""
    scenario, prepared = farm(kind)
    return tonight(scenario, prepared, forecast(coldest_C), None, at, Present(air_C, fuel_kg))


def own_weather(prepared: Winter, first: int, hours: int) -> Forecast:
    """The winter's own weather as a forecast that comes true, issued at its first hour."""
    record = prepared.weather
    start = record.start + timedelta(hours=first)
    columns = {
        key: np.array(values[first : first + hours])
        for key, values in record.columns().items()
        if not np.isnan(values).any()
    }
    return Forecast("comes true", start, start, columns, "t_air [degC]")
