"""Seasons made by hand: every number in them is known."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from types import MappingProxyType, SimpleNamespace
from typing import Any

import numpy as np
import pytest

from greenhouse_sim.heater.fuel import fuel_for
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.ledger import CAUSES, Identity, make_ledger
from greenhouse_sim.season.run import Season
from greenhouse_sim.units import KWH_J
from greenhouse_sim.weather import Weather

HOURS = 24 * 212
START = datetime(2025, 10, 1)


@pytest.fixture(scope="session")
def winter_of() -> Callable[[str], Weather]:
    """A winter with a smooth cold spell in January."""

    def make(name: str) -> Weather:
        hour = np.arange(HOURS)
        day = hour / 24.0
        out = -2.0 + 6.0 * np.sin(2 * np.pi * (hour - 9) / 24.0)
        out = out - 20.0 * np.exp(-(((day - 100.0) / 20.0) ** 2))
        zero = np.zeros(HOURS)
        return Weather(
            name, "Nowhere", START, -6.0, 46.9, -97.1, 300.0, out, out - 3.0,
            zero + 97_000.0, zero + 3.0, zero, zero, zero, zero, zero * np.nan, zero * np.nan,
        )  # fmt: skip

    return make


@pytest.fixture(scope="session")
def season_of(winter_of: Callable[[str], Weather]) -> Callable[..., Season]:
    """A season of a heater: its fuel in kg, its times up, its hours of crop damage."""

    def make(
        heater: str = "wood stove, large",
        winter: str = "plain_winter",
        fuel: str = "red oak",
        fuel_kg: float = 10_000.0,
        ups: int = 38,
        damage_h: int = 0,
    ) -> Season:
        weather = winter_of(winter)
        burnt = fuel_for(fuel, 0.20)
        total = np.zeros(at.SIZE)
        total[at.FUEL_KG] = fuel_kg if burnt.kind != "compost" else 0.0
        total[at.DECAYED_KG] = fuel_kg
        total[at.FUEL_J] = 30_000.0 * KWH_J
        total[at.HEAT_J] = 21_000.0 * KWH_J
        total[at.FLUE_J] = 9_000.0 * KWH_J
        total[at.SUN_J] = 40_000.0 * KWH_J
        total[at.ENVELOPE_J] = 61_000.0 * KWH_J
        total[at.WAKEUPS], total[at.NIGHTS_WOKEN] = ups, min(ups, 25)
        total[at.COLD_H], total[at.CAUSE_OUT], total[at.CAUSE_ASLEEP] = 14.0, 4.0, 10.0
        total[at.DAMAGE_H] = damage_h
        total[at.LOWEST_AIR], total[at.LOWEST_HOUR] = -0.6, 24 * 105 + 5
        total[at.LOAD_S], total[at.LONGEST_SLEEP_H] = 92 * 3600.0, 8.0
        month_kg = np.zeros(at.MONTHS)
        month_kg[:7] = fuel_kg * np.array([4, 15, 20, 25, 20, 12, 4]) / 100
        who = Identity(heater, 1, winter, "Nowhere", burnt)
        ledger = make_ledger(who, weather, total, month_kg, 25_000.0)
        drive = SimpleNamespace(t_out=weather.t_out_C, setpoint=np.full(HOURS, 5.0))
        prepared: Any = SimpleNamespace(weather=weather, drive=drive)
        return Season(MappingProxyType(ledger), prepared, _trace(weather, ups))

    return make


def _trace(weather: Weather, ups: int) -> np.ndarray:
    trace = np.zeros((weather.hours, at.TRACE_SIZE))
    column = {name: number for number, name in enumerate(at.TRACE)}
    trace[:, column["air_C"]] = np.maximum(weather.t_out_C + 12.0, 4.8)
    trace[:, column["heater_W"]] = np.clip(800.0 * (5.0 - weather.t_out_C), 0.0, 16_000.0)
    trace[::6, column["loaded_kg"]] = 15.0
    for night in range(ups):
        trace[24 * (90 + night) + 2, column["woken"]] = 1.0
    cold = slice(24 * 105, 24 * 105 + 14)
    trace[cold, column["air_C"]] = -0.6
    trace[cold, column["cause"]] = float(CAUSES["fire out"])
    return trace
