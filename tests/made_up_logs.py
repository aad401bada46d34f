"""Thermometer logs of a known greenhouse, with noise, gaps, open doors and a bad sensor."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

import greenhouse_sim as gs
from greenhouse_sim.heater.heater import heater_numbers
from greenhouse_sim.plans import fit_model, fit_run
from greenhouse_sim.plans.logger import Load, Log, without_flat
from greenhouse_sim.routine.calendar import calendar, habits
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
NOTED_SHARE, NOTED_H = 0.2, 0.5
"""How far off a grower notes a load and its time: the armful and the hour (judgement)."""
HEAT_NOISE = 0.01
"""Of heat noted hour by hour: an electricity meter's class, and its steps (judgement)."""

KINDS: dict[str, dict[str, Any]] = {
    "unheated": {},
    "noted loads": {"heated": True},
    "noted heat": {"held": True},
    "by the clock": {"held": True, "day_C": 12.0},
    "small heater": {"held": True, "most_W": 3.5e4},
    "small, by the clock": {"held": True, "day_C": 12.0, "most_W": 4.0e4},
    "unruled heat": {"unruled": True},
    "loads by need": {"tended": True},
    "small fire, by need": {"tended": True},
}
"""What `made` takes for each kind of log."""
STOVES = {"loads by need": 3}
"""Where one stove is not enough to hold the air."""
ERRORS = ("air", "wind", "door", "sensor", "noise", "readings", "amounts", "times")
"""What `made` can leave out."""


class Made(NamedTuple):
    """A log, its weather as the station had it, and the truth."""

    log: Log
    truth: dict[str, float]


def farm(kind: str = "") -> gs.Scenario:
    """The greenhouse of all logs, with the stoves of this kind."""
    return gs.scenario_from_dict(FARM).with_(**{"heater.count": STOVES.get(kind, 1)})


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
    day_C: float = HELD_C,
    most_W: float = np.inf,
    unruled: bool = False,
    tended: bool = False,
    without: Collection[str] = (),
) -> Made:
    """A log of 60 days: unheated, heated by noted loads, or held at 7 °C by noted heat.

    A thermostat may hold ``day_C`` from 6 to 20 h, by a heater of ``most_W``; an ``unruled`` fire
    of noted heat gives 5 to 45 kW that change every four to ten hours and ask nobody.

    The farm's own weather differs from the station's: air by 0.4 K (remembered for 12 h), wind by
    15 %. The logger has a constant error of 0.3 K and noise of 0.2 K, two gaps of up to three
    days, ten wild readings and a sensor stuck for a day (found and left out, as when it is read).
    Three times a door stands open for one to four hours. Amounts of wood are noted to 8 %,
    heat to 1 %.

    A fire may also be ``tended`` by the routine of the program's own seasons, which looks at the
    air and at the need of the hours to come (of the farm's own weather, as it was): its loads are
    noted to a fifth, their times to half an hour. ``without`` leaves out some of
    `ERRORS`, the rest staying as it was.
    """
    keep = {name: float(name not in without) for name in ERRORS}
    chance = np.random.default_rng(seed)
    hours = DAYS * 24
    start = datetime(2025, 11, 1 + int(chance.integers(0, 28)))
    truth = {name: float(np.exp(chance.normal(0.0, spread))) for name, spread in SPREAD.items()}
    loads: tuple[Load, ...] = ()
    if tended:
        loads = (Load(0, 1.0),)  # so that the stove is built; the routine's own follow
    elif heated:
        at = [24 * day + hour for day in range(DAYS) for hour in (6, 13, 21)]
        loads = tuple(Load(h, float(chance.uniform(10.0, 20.0))) for h in at)
    else:
        truth["efficiency"] = 1.0
    heat_W = _unruled(chance, hours) if unruled else np.zeros(hours) if held else None
    log = Log(f"log {seed}", start, np.full(hours, 5.0), heat_W=heat_W, loads=loads)
    model = fit_model.build(scenario, weather, log)
    drive = model.drive
    wind = np.exp(keep["wind"] * chance.normal(0.0, 0.15, hours))
    leak_wind = drive.leak_wind * wind * wind
    for _ in range(3):
        opened = int(chance.integers(0, hours - 4))
        leak_wind[opened : opened + int(chance.integers(1, 5))] += 400.0 * keep["door"]
    away = drive.t_out + keep["air"] * wandering(chance, hours, 0.4, 12.0)
    model = model._replace(drive=drive._replace(t_out=away, leak_wind=leak_wind))
    if held:
        day = (np.arange(hours) % 24 >= 6) & (np.arange(hours) % 24 < 20)
        setpoint = np.where(day, day_C, HELD_C)
        model = model._replace(drive=model.drive._replace(setpoint=setpoint))
    if most_W < np.inf:
        laid = model.heater.floor_share
        small = heater_numbers("electric heater")._replace(burn_max_w=most_W, floor_share=laid)
        model = model._replace(heater=small)
    soil_start = float(chance.normal(0.0, 2.0))
    vent_W = np.zeros(hours)
    if tended:
        model = _with_grower(model, truth, soil_start)
    for _ in range(4):
        # vapour goes by the air, and the air by vapour
        trace = fit_run.run(model, truth, soil_start, vent_W)
        air, vent_W = (np.ascontiguousarray(trace[:, k]) for k in (fit_run.AIR, fit_run.VENT))
        model = model._replace(air_C=air)
    sensor = keep["sensor"] * chance.normal(0.0, 0.3)
    sensor = sensor + keep["noise"] * chance.normal(0.0, 0.2, hours)
    read = air + sensor
    read[chance.integers(0, hours, 10)] += chance.uniform(-12.0, 12.0, 10)
    for longest in (72, 72):
        begin = int(chance.integers(1, hours - longest))
        read[begin : begin + int(chance.integers(longest // 3, longest + 1))] = np.nan
    stuck = int(chance.integers(1, hours - 24))
    read[stuck : stuck + 24] = read[stuck]
    if not keep["readings"]:
        read = air + sensor
    read, _ = without_flat(np.arange(hours) * 3600.0, read, Path("made up"))
    noted = tuple(
        one._replace(kg=one.kg * float(chance.normal(1.0, 0.08 * keep["amounts"]))) for one in loads
    )
    if tended:
        noted = _noted(chance, trace[:, tally.TRACE.index("loaded_kg")], keep)
    if heat_W is not None:
        given = heat_W + trace[:, tally.TRACE.index("heater_W")]
        heat_W = given * chance.normal(1.0, HEAT_NOISE, hours)
    return Made(log._replace(indoor_C=read, heat_W=heat_W, loads=noted), truth)


def _unruled(chance: np.random.Generator, hours: int) -> np.ndarray:
    """Heat of a fire that asks nobody, W."""
    lasts = chance.integers(4, 11, hours)
    return np.repeat(chance.uniform(5.0e3, 45.0e3, hours), lasts)[:hours]


def _with_grower(
    model: fit_model.Model, truth: dict[str, float], soil_start: float
) -> fit_model.Model:
    """The model with its scenario's grower, who knows what heat the hours to come will need."""
    hours = model.weather.hours
    setpoint = np.full(hours, HELD_C)
    model = model._replace(fires=(), drive=model.drive._replace(setpoint=setpoint))
    ideal = model._replace(heater=heater_numbers("ideal"))
    for _ in range(3):
        trace = fit_run.run(ideal, truth, soil_start, np.zeros(hours))
        ideal = ideal._replace(air_C=np.ascontiguousarray(trace[:, fit_run.AIR]))
    expected_J = np.concatenate([[0.0], np.cumsum(trace[:, fit_run.HEAT]) * 3600.0])
    routine = model.scenario.routine
    return model._replace(
        drive=model.drive._replace(need_sum_j=expected_J),
        calendar=calendar(routine, (), model.weather.start, hours),
        habits=habits(routine),
    )


def _noted(
    chance: np.random.Generator, loaded_kg: np.ndarray, keep: dict[str, float]
) -> tuple[Load, ...]:
    """Loads as a grower notes them: by the eye, and when there is time."""
    found = []
    for hour in np.flatnonzero(loaded_kg > 0.0):
        at = round(hour + keep["times"] * float(chance.normal(0.0, NOTED_H)))
        share = max(0.1, 1.0 + keep["amounts"] * float(chance.normal(0.0, NOTED_SHARE)))
        found.append(Load(min(max(at, 0), len(loaded_kg) - 1), float(loaded_kg[hour]) * share))
    return tuple(found)
