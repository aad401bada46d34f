"""Run 10,000 seasons in chunks, keep their ledgers, summarise them; print the peak memory."""

from __future__ import annotations

import sys
import time
from pathlib import Path
from types import MappingProxyType

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from many_seasons import peak_bytes

from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.plans.compare import summarise
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.ledger import Identity, make_ledger
from greenhouse_sim.season.many import run_many
from greenhouse_sim.season.run import Season, scenario_fuel, task
from winters_at_hand import SAMPLES, demo, winter

SEASONS = 10_000
CHUNK = 300
KINDS = ("wood stove, large", "outdoor boiler", "pellet stove", "rocket mass heater, medium")


def main() -> None:
    """Run, summarise, and print: seasons, seconds, peak bytes."""
    began = time.perf_counter()
    scenario = demo()
    winters = [winter(scenario, sample) for sample in SAMPLES]
    fuel = scenario_fuel(scenario)
    pairs = [(kind, one) for kind in KINDS for one in winters]
    seasons: list[Season] = []
    while len(seasons) < SEASONS:
        chosen = [pairs[i % len(pairs)] for i in range(min(CHUNK, SEASONS - len(seasons)))]
        done = run_many([task(scenario, one, kind, False) for kind, one in chosen], "compiled")
        for (kind, one), ran in zip(chosen, done, strict=True):
            place = one.weather.site
            who = Identity(kind, 1, one.weather.name, place, default_fuel(kind, fuel))
            ledger = make_ledger(who, one.weather, ran.total, ran.month_kg, 0.0)
            none = np.zeros((0, at.TRACE_SIZE))
            seasons.append(Season(MappingProxyType(ledger), one, none))
    for kind in KINDS:
        row = summarise([season for season in seasons if season.heater == kind])
        assert row["fuel_kg"]["median"] > 0.0
    print(len(seasons), time.perf_counter() - began, peak_bytes())


if __name__ == "__main__":
    main()
