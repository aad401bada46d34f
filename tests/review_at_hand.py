"""Journals of made-up winters whose cause is known, for the tests of several folders."""

from __future__ import annotations

import random
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path

import greenhouse_sim as gs
from greenhouse_sim.journal.entry import LOAD, READING, VISIT, Entry
from greenhouse_sim.journal.store import Journal
from greenhouse_sim.scenario import demo_path

TYPICAL, MILD, SEVERE = (f"tamarack_flats_{kind}.csv" for kind in ("typical", "mild", "severe"))
LEAKY = {"loss": 1.2, "leak": 1.5, "capacity": 1.0, "soil": 1.0, "sun": 1.0}


def stove_farm(folder: Path, start: str = "12-01", end: str = "02-15", count: int = 3) -> Path:
    """The demo farm with stoves and a short season."""
    text = demo_path().read_text(encoding="utf-8")
    season = '{ start = "10-01", end = "04-30" }'
    text = text.replace(season, f'{{ start = "{start}", end = "{end}" }}')
    text = text.replace('kind = "outdoor boiler"', f'kind = "wood stove, large"\ncount = {count}')
    path = folder / "farm.toml"
    path.write_text(text, encoding="utf-8")
    return path


def kept_by(
    scenario: gs.Scenario, weather: gs.Weather, readings_every: int = 0, warmer_K: float = 0.0
) -> list[Entry]:
    """What a grower who lives as the scenario says would have noted of a winter.

    Parameters
    ----------
    scenario, weather
        The farm and the winter as they really were.
    readings_every
        Note the air every so many hours; 0 for never.
    warmer_K
        What the thermometer reads over the air.
    """
    trace = gs.simulate(scenario, weather).trace
    found = []
    for number, (when, row) in enumerate(trace.iterrows()):
        at = when.to_pydatetime() + timedelta(minutes=7)
        woken = bool(row["woken"] > 0.0)
        if row["loaded_kg"] > 0.0:
            found.append(Entry(at, LOAD, kg=float(row["loaded_kg"]), woken=woken))
        elif row["visit"] > 0.0:
            found.append(Entry(at, VISIT, woken=woken))
        if readings_every and number % readings_every == 0:
            air = float(row["air_C"]) + warmer_K
            found.append(Entry(at + timedelta(minutes=1), READING, indoor_C=air))
    return found


def carelessly(entries: Sequence[Entry], seed: int) -> list[Entry]:
    """The same noted by somebody in a hurry: half an hour off, a fifth off in weight, 3 % lost."""
    chance = random.Random(seed)
    found = []
    for one in entries:
        if chance.random() < 0.03:
            continue
        kg = None if one.kg is None else one.kg * chance.uniform(0.8, 1.2)
        found.append(one._replace(at=one.at + timedelta(minutes=chance.gauss(0, 30)), kg=kg))
    return sorted(found, key=lambda one: one.at)


def write(folder: Path, entries: Sequence[Entry], name: str = "farm.journal.db") -> Path:
    """A journal beside the farm."""
    path = folder / name
    with Journal(path, make=True) as book:
        book.add(entries)
    return path
