"""Thermometer logs of a known greenhouse, with noise, gaps, open doors and a bad sensor."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import NamedTuple

import numpy as np

import greenhouse_sim as gs
from greenhouse_sim.plans import fit_model, fit_run
from greenhouse_sim.plans.logger import Load, Log, without_flat
from greenhouse_sim.season import tally
from greenhouse_sim.weather import find_weather, read_weather

WEATHER = "tamarack_flats_typical.csv"
FARM = {
    "site": {"weather": [WEATHER]},
    "greenhouse": {"width": "30 ft", "length": "72 ft", "sidewall": "5 ft", "ridge": "13 ft"},
    "heater": {"kind": "wood stove, large"},
}
SPREAD = {"loss": 0.15, "leak": 0.35, "capacity": 0.3, "soil": 0.25, "sun": 0.15,
          "efficiency": 0.12}  # fmt: skip
"""Of ln(factor) of the truth: judgement, narrower than what the fit believes."""
DAYS = 60
HELD_C = 7.0
HEAT_NOISE = 0.01
"""Of heat noted hour by hour: an electricity meter's class, and its steps (judgement)."""


class Made(NamedTuple):
    """A log, its weather as the station had it, and the truth."""

    log: Log
    truth: dict[str, float]


def farm() -> gs.Scenario:
    """The greenhouse of all logs."""
    return gs.scenario_from_dict(FARM)


def record() -> gs.Weather:
    """The winter of all logs."""
    return read_weather(find_weather(WEATHER, Path()))


def wandering(chance: np.random.Generator, hours: int, spread: float, over_h: float) -> np.ndarray:
    """A wandering error of this spread that remembers itself over so many hours."""
    keep = np.exp(-1.0 / over_h)
    steps = chance.normal(0.0, spread * np.sqrt(1.0 - keep * keep), hours)
    out = np.zeros(hours)
    out[0] = chance.normal(0.0, spread)
    for h in range(1, hours):
        out[h] = keep * out[h - 1] + steps[h]
    return out


def made(
    seed: int,
    scenario: gs.Scenario,
    weather: gs.Weather,
    *,
    heated: bool = False,
    held: bool = False,
) -> Made:
    """A log of 60 days: unheated, heated by noted loads, or held at 7 °C by noted heat.

    The farm's own weather differs from the station's: air by 0.4 K (remembered for 12 h), wind by
    15 %. The logger has a constant error of 0.3 K and noise of 0.2 K, two gaps of up to three
    days, ten wild readings and a sensor stuck for a day (found and left out, as when it is read).
    Three times a door stands open for one to four hours. Amounts of wood are noted to 8 %,
    heat to 1 %.
    """
    chance = np.random.default_rng(seed)
    hours = DAYS * 24
    start = datetime(2025, 11, 1 + int(chance.integers(0, 28)))
    truth = {name: float(np.exp(chance.normal(0.0, spread))) for name, spread in SPREAD.items()}
    loads: tuple[Load, ...] = ()
    if heated:
        at = [24 * day + hour for day in range(DAYS) for hour in (6, 13, 21)]
        loads = tuple(Load(h, float(chance.uniform(10.0, 20.0))) for h in at)
    else:
        truth["efficiency"] = 1.0
    heat_W = np.zeros(hours) if held else None
    log = Log(f"log {seed}", start, np.full(hours, 5.0), heat_W=heat_W, loads=loads)
    model = fit_model.build(scenario, weather, log)
    drive = model.drive
    wind = np.exp(chance.normal(0.0, 0.15, hours))
    leak_wind = drive.leak_wind * wind * wind
    for _ in range(3):
        opened = int(chance.integers(0, hours - 4))
        leak_wind[opened : opened + int(chance.integers(1, 5))] += 400.0
    away = drive.t_out + wandering(chance, hours, 0.4, 12.0)
    model = model._replace(drive=drive._replace(t_out=away, leak_wind=leak_wind))
    if held:
        setpoint = np.full(hours, HELD_C)
        model = model._replace(drive=model.drive._replace(setpoint=setpoint))
    soil_start = float(chance.normal(0.0, 2.0))
    vent_W = np.zeros(hours)
    for _ in range(4):
        # vapour goes by the air, and the air by vapour
        trace = fit_run.run(model, truth, soil_start, vent_W)
        air, vent_W = (np.ascontiguousarray(trace[:, k]) for k in (fit_run.AIR, fit_run.VENT))
        model = model._replace(air_C=air)
    read = air + chance.normal(0.0, 0.3) + chance.normal(0.0, 0.2, hours)
    read[chance.integers(0, hours, 10)] += chance.uniform(-12.0, 12.0, 10)
    for longest in (72, 72):
        begin = int(chance.integers(1, hours - longest))
        read[begin : begin + int(chance.integers(longest // 3, longest + 1))] = np.nan
    stuck = int(chance.integers(1, hours - 24))
    read[stuck : stuck + 24] = read[stuck]
    read, _ = without_flat(np.arange(hours) * 3600.0, read, Path("made up"))
    noted = tuple(one._replace(kg=one.kg * float(chance.normal(1.0, 0.08))) for one in loads)
    if heat_W is not None:
        given = trace[:, tally.TRACE.index("heater_W")]
        heat_W = given * chance.normal(1.0, HEAT_NOISE, hours)
    return Made(log._replace(indoor_C=read, heat_W=heat_W, loads=noted), truth)
