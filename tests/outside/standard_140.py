"""Boxes of ANSI/ASHRAE Standard 140 through a year: python standard_140.py DENVER.epw

Weather: the typical year 725650 (Denver International Airport) that the standard uses. Published:
the smallest and largest of six programs (results workbook of the 2020 edition, informative annex
B8). The standard says that this is a range for comparison, not a criterion.

Cases 600 and 900, light and heavy, held and free-floating (FF), and five that build case 600 up
without sun inside. The boxes are scenarios of the shape "surfaces", as a user would write them
(`boxes.py`), run by the kernel through a whole year.

What the films do: case 450 is case 600 with all films constant, and five of the six programs cool
it by 0.35 to 0.75 MWh more than case 600 (annex B8). The films here are constant too.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

import greenhouse_sim as gs
from greenhouse_sim.heater.numbers import IDEAL
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import engine_for, run_one
from greenhouse_sim.season.run import ready
from outside.boxes import scenario
from winters_at_hand import lone_task, no_heater

MWH_H, KW = 1.0e6, 1.0e3


class Range(NamedTuple):
    """A published quantity: smallest and largest of six programs."""

    quantity: str
    low: float
    high: float


PUBLISHED = {
    "395": (Range("heating, MWh", 4.565, 5.145),),
    "400": (Range("heating, MWh", 5.906, 7.047),),
    "410": (Range("heating, MWh", 7.630, 8.661),),
    "420": (Range("heating, MWh", 6.399, 7.433),),
    "430": (Range("heating, MWh", 5.171, 5.954),),
    "600": (
        Range("heating, MWh", 3.993, 4.504), Range("cooling, MWh", 5.432, 6.162),
        Range("peak heating, kW", 3.020, 3.359), Range("peak cooling, kW", 5.422, 6.481),
    ),
    "900": (
        Range("heating, MWh", 1.379, 1.814), Range("cooling, MWh", 2.267, 2.714),
        Range("peak heating, kW", 2.443, 2.779),
    ),
    "600FF": (
        Range("lowest air, °C", -13.8, -9.9), Range("highest air, °C", 62.4, 68.4),
        Range("mean air, °C", 24.3, 26.1),
    ),
    "900FF": (
        Range("lowest air, °C", 0.6, 2.2), Range("highest air, °C", 43.3, 46.0),
        Range("mean air, °C", 24.5, 25.7),
    ),
}  # fmt: skip
FEBRUARY_1 = {
    "600FF": (
        (1, 4.5, 13.0), (4, 0.0, 5.7), (8, -3.3, 0.1), (10, 6.1, 12.0), (12, 20.2, 29.8),
        (14, 36.1, 44.9), (16, 45.4, 49.8), (18, 36.5, 44.0), (20, 24.2, 34.4), (22, 15.0, 24.6),
        (24, 8.1, 16.3),
    ),
    "900FF": (
        (1, 11.7, 15.4), (4, 10.3, 13.6), (8, 9.0, 11.9), (10, 11.8, 15.3), (12, 16.2, 19.9),
        (14, 19.7, 23.3), (16, 21.0, 25.4), (18, 19.2, 23.5), (20, 17.2, 21.9), (22, 15.7, 20.0),
        (24, 14.5, 18.1),
    ),
}  # fmt: skip
"""Hour of 1 February (1 is 0:00 to 1:00), lowest and highest of six programs, °C."""
FIRST_OF_FEBRUARY_H = 31 * 24


def column(trace: np.ndarray, name: str) -> np.ndarray:
    """One column of the hourly trace."""
    return trace[:, at.TRACE.index(name)]


def year(case: str, weather: gs.Weather) -> np.ndarray:
    """The hourly trace of a case."""
    held = not case.endswith("FF")
    found = ready(scenario(case[:3], weather.name, weather.elevation_m, held=held), weather)
    heater = no_heater(law=IDEAL, burn_max_w=1.0e6) if held else no_heater()
    return run_one(engine_for("compiled"), lone_task(found.house, found.drive, heater)).trace


def quantities(case: str, trace: np.ndarray) -> list[float]:
    """The published quantities of a case out of its year, in order."""
    if case.endswith("FF"):
        air = column(trace, "air_C")
        return [float(air.min()), float(air.max()), float(air.mean())]
    heat, cool = column(trace, "heater_W"), column(trace, "vent_W")
    both = [heat.sum() / MWH_H, cool.sum() / MWH_H, heat.max() / KW, cool.max() / KW]
    return [float(value) for value in both]


class Row(NamedTuple):
    """One row of the table."""

    case: str
    quantity: str
    low: float
    high: float
    ours: float


def table(weather: gs.Weather) -> Iterator[Row]:
    """Every published quantity of every case beside ours."""
    for case, ranges in PUBLISHED.items():
        trace = year(case, weather)
        # some cases have a range for the first quantities only
        for published, ours in zip(ranges, quantities(case, trace), strict=False):
            yield Row(case, *published, ours)
        for hour, low, high in FEBRUARY_1.get(case, ()):
            air = float(column(trace, "air_C")[FIRST_OF_FEBRUARY_H + hour - 1])
            yield Row(case, f"1 February, h {hour}, °C", low, high, air)


def main(path: str) -> None:
    """Print the table."""
    weather = gs.winters(gs.read_weather(path), (1, 1), (12, 31))[0]
    print(f"{'case':6} {'quantity':20} {'published':17} {'middle':>7} {'ours':>8}")
    for row in table(weather):
        middle, inside = 0.5 * (row.low + row.high), row.low <= row.ours <= row.high
        print(
            f"{row.case:6} {row.quantity:20} {row.low:7.2f} to {row.high:6.2f} {middle:7.2f} "
            f"{row.ours:8.2f} {'in' if inside else 'OUT'}"
        )


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: python tests/outside/standard_140.py WEATHER.epw")
    main(sys.argv[1])
