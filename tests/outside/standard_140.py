"""Boxes of ANSI/ASHRAE Standard 140 through a year: python standard_140.py DENVER.epw

Weather: the typical year 725650 (Denver International Airport) that the standard uses. Published:
the smallest and largest of six programs (results workbook of the 2020 edition, informative annex
B8). The standard says that this is a range for comparison, not a criterion.

Cases 600 and 900, light and heavy, held and free-floating (FF), and five that build case 600 up
without sun inside. The boxes are scenarios of the shape "surfaces", as a user would write them
(`boxes.py`), run by the kernel through a whole year. Hours are means, as the standard asks
("hourly integrated"). Before them the year's sun on the walls and through the window, and its sky.

Sun and sky on the outside act through the library's film in the hour's wind (on a wall 20 W/m²K in
the mean of the year), not through the 16.5 of `boxes.outer_film`. With that one, tried by hand,
case 430 has 5.60 MWh, and of 1 February the hour 16 has 50.1 °C, 0.3 K over its range.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

import greenhouse_sim as gs
from greenhouse_sim.drive.outdoors import Outdoors
from greenhouse_sim.drive.sun import on_surfaces
from greenhouse_sim.greenhouse.sky import sky_temperature
from greenhouse_sim.heater.numbers import IDEAL
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import engine_for, run_one
from greenhouse_sim.season.run import ready
from outside.boxes import scenario
from winters_at_hand import lone_task, no_heater

MWH_H, KWH_H, KW = 1.0e6, 1.0e3, 1.0e3


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

SUN = {
    "horizontal": (0.0, 180.0, Range("sun on the horizontal, kWh/m²", 1663.0, 1670.0)),
    "south": (90.0, 180.0, Range("sun on the south, kWh/m²", 1291.0, 1387.0)),
    "east": (90.0, 90.0, Range("sun on the east, kWh/m²", 1017.0, 1068.0)),
    "west": (90.0, 270.0, Range("sun on the west, kWh/m²", 903.0, 997.0)),
    "north": (90.0, 0.0, Range("sun on the north, kWh/m²", 399.0, 477.0)),
}
"""Tilt and azimuth in degrees, and what the programs have in a year."""
THROUGH_WINDOW = Range("sun through the south window, kWh/m²", 804.0, 826.0)
SKY_MEAN = Range("mean sky, °C", -5.9, -2.0)
REFLECTANCE = 0.2
ANGLES_DEG = np.arange(0.0, 91.0, 10.0)
LETS_THROUGH = (0.703, 0.702, 0.699, 0.692, 0.678, 0.646, 0.577, 0.438, 0.208, 0.0)
"""Light that the window lets through at these angles of incidence (section 5.2.1)."""
LETS_DIFFUSE = 0.601
"""The same for light from all of a hemisphere."""


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
    """Empty for what is the weather's alone."""
    quantity: str
    low: float
    high: float
    ours: float


def sun_and_sky(weather: gs.Weather) -> Iterator[Row]:
    """The year's sun on the box, through its window, and the sky over it."""
    seen = Outdoors(weather)
    tilt = np.array([one[0] for one in SUN.values()])
    azimuth = np.array([one[1] for one in SUN.values()])
    light = on_surfaces(tilt, azimuth, seen.sun, weather, REFLECTANCE)
    for k, (_, _, published) in enumerate(SUN.values()):
        yield Row("", *published, float((light.beam[k] + light.diffuse[k]).sum()) / KWH_H)
    south = list(SUN).index("south")
    angle = np.degrees(np.arccos(np.clip(light.cosine[south], 0.0, 1.0)))
    aslant = np.interp(angle, ANGLES_DEG, LETS_THROUGH)
    through = light.beam[south] * aslant + light.diffuse[south] * LETS_DIFFUSE
    yield Row("", *THROUGH_WINDOW, float(through.sum()) / KWH_H)
    yield Row("", *SKY_MEAN, float(sky_temperature(seen.infrared_W).mean()))


def table(weather: gs.Weather) -> Iterator[Row]:
    """Every published quantity beside ours: sun and sky, then every case."""
    yield from sun_and_sky(weather)
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
    print(f"{'case':6} {'quantity':36} {'published':18} {'middle':>7} {'ours':>8}")
    for row in table(weather):
        middle, inside = 0.5 * (row.low + row.high), row.low <= row.ours <= row.high
        print(
            f"{row.case:6} {row.quantity:36} {row.low:7.2f} to {row.high:6.2f} {middle:7.2f} "
            f"{row.ours:8.2f} {'in' if inside else 'OUT'}"
        )


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: python tests/outside/standard_140.py WEATHER.epw")
    main(sys.argv[1])
