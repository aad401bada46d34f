"""Published winters of whole greenhouses: python winter_trials.py BURLINGTON.epw

Field results that a season of this program can be put beside, though neither house is
described closely enough to be built again:

- Sun: of the heat load of a commercial greenhouse in Montréal, October 1971 to April 1972, the sun
  carried 13 to 54 % by the month, least in the coldest part (Lawand, Malik, Alward and Hopley 1973,
  J. Eng. Power 95(2):114-118; abstract read: neither cover nor temperatures nor months are in it).
- Curtain: it saved 25 to 31 % of the heat of double-film houses over three winters in Vermont
  (a producers' research report, LNE10-299).
- Degree-days: the heat of seven months was 8.9 % under plain degree-days to the lowest temperature
  held (a calibrated simulation, Trans. ASAE, about 1981; abstract read).

A closed curtain leaves the leaks as they are here: no measurement of them with and without one was
found. With half of them stopped in its hours the plain curtain below would save 22 % where it saves
15 to 17 (0.6 and 1.0 air changes an hour), with nine tenths of them 27 to 30 %.

Burlington, Vermont, lies 130 km from Montréal, where the coldest months are some 2 K colder; its
weather of 2018 is fair for both but is another winter. Load here is what the same house needs
without sun, and the sun's share what it needs less with it.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

import greenhouse_sim as gs
from greenhouse_sim.drive.clouds import sky_infrared
from greenhouse_sim.drive.sun import sun_position

MONTREAL = (0.13, 0.54)
VERMONT_CURTAIN = (0.25, 0.31)
HOUSE = {
    "shape": "gable", "width": "30 ft", "length": "100 ft", "sidewall": "6 ft", "ridge": "14 ft",
    "cover": "single glass", "tightness": "fair", "planted_share": 0.7,
}  # fmt: skip
"""A commercial range of its day. All of it is ours."""
DOUBLE_FILM = {
    "shape": "hoop", "width": "30 ft", "length": "96 ft", "sidewall": "5 ft", "ridge": "14 ft",
    "cover": "double poly inflated",
}  # fmt: skip
CURTAIN = {"cover": "thermal curtain", "share": 0.9, "closed": "dark"}


def farm(greenhouse: dict[str, Any], day: str, night: str) -> gs.Scenario:
    """An ideal heater, October to April."""
    return gs.scenario_from_dict(
        {
            "site": {"weather": ["given"], "season": {"start": "10-01", "end": "04-30"}},
            "greenhouse": greenhouse,
            "crop": {"setpoint": {"day": day, "night": night}},
            "heater": {"kind": "ideal"},
        }
    )


def without_sun(winter: gs.Weather) -> gs.Weather:
    """The same winter dark, under the sky that it had."""
    dark = np.zeros(len(winter.t_out_C))
    sky = sky_infrared(winter, sun_position(winter))
    return replace(winter, ghi_W=dark, dni_W=dark, dhi_W=dark, ir_down_W=sky)


def heat_by_month(scenario: gs.Scenario, winter: gs.Weather) -> dict[int, float]:
    """Heat of the ideal heater by month of the year, kWh."""
    heater = gs.simulate(scenario, winter).trace["heater_W"]
    return {int(month): float(w.sum()) / 1e3 for month, w in heater.groupby(heater.index.month)}


def sun_share(scenario: gs.Scenario, winter: gs.Weather) -> dict[int, float]:
    """What the sun takes off each month's load, as a share of it."""
    lit, dark = (heat_by_month(scenario, one) for one in (winter, without_sun(winter)))
    return {month: 1.0 - lit[month] / dark[month] for month in lit}


def curtain_saving(winter: gs.Weather, curtain: dict[str, Any], day: str, night: str) -> float:
    """Share of the season's heat that a curtain saves over double film."""
    bare, closed = (
        sum(heat_by_month(farm(DOUBLE_FILM | more, day, night), winter).values())
        for more in ({}, {"night_curtain": curtain})
    )
    return 1.0 - closed / bare


def against_degree_days(winter: gs.Weather, day: str, night: str) -> float:
    """A season's heat over that of the same house dark and always at its night temperature."""
    lit = sum(heat_by_month(farm(HOUSE, day, night), winter).values())
    plain = sum(heat_by_month(farm(HOUSE, night, night), without_sun(winter)).values())
    return lit / plain - 1.0


def season_of(path: Path) -> gs.Weather:
    """October to April of a record; a calendar year is put together from its two ends."""
    return gs.winters(gs.read_weather(path), (10, 1), (4, 30))[0]


def main(path: Path) -> None:
    """Print both comparisons."""
    winter = season_of(path)
    air = winter.t_out_C
    print(f"{path.name}: mean of October to April {air.mean():.1f} °C")
    for day, night in (("65 degF", "60 degF"), ("50 degF", "45 degF")):
        shares = sun_share(farm(HOUSE, day, night), winter)
        months = "  ".join(f"{month}: {share:.0%}" for month, share in shares.items())
        print(f"sun's share of the load, {day} by day, {night} by night (13 to 54 %): {months}")
    beside = against_degree_days(winter, "65 degF", "60 degF")
    print(f"heat against plain degree-days to 60 degF (-8.9 %): {beside:+.1%}")
    for name, share in (("thermal curtain", 0.9), ("thermal curtain", 1.0),
                        ("aluminised curtain", 0.9)):  # fmt: skip
        saved = curtain_saving(
            winter, CURTAIN | {"cover": name, "share": share}, "60 degF", "55 degF"
        )
        print(f"{name}, share {share:g}, saves (25 to 31 %): {saved:.1%}")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
