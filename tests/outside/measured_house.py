"""A measured house, heated, then left to itself: python measured_house.py HOUSE.csv

One of two like experimental houses near Holzkirchen (47.9 N, 11.75 E, 680 m), August to October
2013: held at 30 °C, heated at random, held at 25 °C, then twelve days without heat (International
Energy Agency, Energy in Buildings and Communities, annex 58; Strachan et al. 2016). The file holds
every ten minutes the rooms' air, heaters, ventilation, attic, cellar and weather. Areas, layers,
glass and blinds (down on the south side all the time) are those of the specification in a public
set of inputs for it. From memory: heaters give 0.7 of their heat to the air. A guess: the house
door as the window frames. Infiltration is a 22nd of the changes at 50 Pa, as those inputs have it.
Nothing is fitted.

All rooms are one air here, with an inner face on every wall; walls to outdoors, floor and ceiling
to the mean of cellar and attic weighted by conductance (the kernel knows one such boundary).
Measured is the mean of the rooms by volume. Printed: root mean square and mean error by phase.
"""

from __future__ import annotations

import csv
import sys
from datetime import datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from greenhouse_sim.drive.glazing import at_angle
from greenhouse_sim.drive.sun import on_surfaces, sun_position
from greenhouse_sim.greenhouse.chain import Chain, join
from greenhouse_sim.greenhouse.enclosure import number
from greenhouse_sim.greenhouse.leak import air_heat
from greenhouse_sim.greenhouse.numbers import Drive, House
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.hour import season
from greenhouse_sim.season.many import run_one
from outside.measured_cell import Layers, Piece, chain, steady_w_k
from winters_at_hand import lone_task, no_heater

ROOMS = {
    "T_living": 86.4, "T_corridor": 12.1, "T_bath": 15.4, "T_child": 27.6, "T_kitchen": 18.6,
    "T_doorway": 14.7, "T_bedroom": 26.8,
}  # fmt: skip
"""m³."""
HEIGHT_M, CHANGES = 680.0, 2.0 / 22.0
MATERIALS = {
    "plaster": (1.0, 1200 * 1000), "brick": (0.22, 800 * 1000), "inner brick": (0.331, 1e6),
    "render": (0.8, 1200 * 1000), "pu": (0.035, 80 * 840), "eps": (0.040, 80 * 840),
    "wool": (0.036, 80 * 840), "under ceiling": (0.035, 80 * 1000), "board": (0.040, 80 * 840),
    "concrete": (2.0, 2400 * 840), "screed": (1.4, 2000 * 1000), "levelling": (0.06, 80 * 840),
    "floor pu": (0.025, 80 * 840), "composite": (0.023, 80 * 840),
}  # fmt: skip
"""W/mK, J/m³K."""


def outer(insulant: str, thickness: float) -> Layers:
    """An outside wall, inside to outside."""
    brick = (("plaster", 0.010), ("brick", 0.300), ("plaster", 0.030))
    return (*brick, (insulant, thickness), ("render", 0.010))


WALLS: tuple[tuple[float, float, Layers], ...] = (
    (9.0436 + 8.0524 + 12.4384, 0.0, outer("pu", 0.12)),
    (13.3584 + 14.726, 180.0, outer("pu", 0.12)),
    (12.2344 + 10.2664 + 11.2832, 90.0, outer("pu", 0.08)),
    (16.8428, 270.0, outer("eps", 0.08)),
    (6.2812 + 10.578, 270.0, outer("wool", 0.08)),
)
"""m², azimuth, layers."""
FLOOR_M2 = 10.86825 + 7.917375 + 16.43065 + 41.153625 + 5.68095 + 8.0754 + 15.1532
FLOOR: Layers = (
    ("screed", 0.065), ("composite", 0.033), ("floor pu", 0.030), ("levelling", 0.029),
    ("concrete", 0.220),
)  # fmt: skip
CEILING: Layers = (
    ("under ceiling", 0.100), ("plaster", 0.010), ("concrete", 0.220), ("board", 0.040),
    ("screed", 0.040),
)  # fmt: skip
PARTITIONS: tuple[tuple[float, Layers], ...] = (
    (2.0 * 53.1, (("plaster", 0.010), ("inner brick", 0.120))),
    (2.0 * 49.9, (("plaster", 0.010), ("inner brick", 0.0575))),
)
"""Both faces of the inner walls, each to the middle of its wall."""
WINDOWS = {0.0: (2.1402, 0.397), 90.0: (2.1402, 0.397), 270.0: (2 * 2.1402, 0.397)}
"""Azimuth: m², share of frame. South: 10.8 m² behind blinds."""
WINDOW_M2, GLASS_U, FRAME_U, EDGE_W_K = 19.3653, 1.1, 1.0, 0.05 * 43.54
DOOR_M2 = 2.014875
G_NORMAL, G_DIFFUSE = 0.525, 0.525 * 0.427 / 0.543
CONVECTIVE, DARK = 0.7, 0.23
"""Of the heaters' heat; sun that the render takes up."""
SKIP_H = 48
PHASES = (("at 30 °C", "2013-08-21"), ("random heat", "2013-08-30"), ("at 25 °C", "2013-09-14"),
          ("no heat", "2013-09-20"))  # fmt: skip


def read(path: Path) -> tuple[datetime, dict[str, np.ndarray]]:
    """The file in means of the hour that begins at the stamp."""
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    whole = len(rows) // 6 * 6
    columns = {
        name: np.array([float(row[name]) for row in rows[:whole]]).reshape(-1, 6).mean(axis=1)
        for name in rows[0]
        if name != "time"
    }
    return datetime.fromisoformat(rows[0]["time"]), columns


def faced(area: float, layers: Layers, place: str, light: float, out: bool, ends: bool) -> Chain:
    """A wall behind an inner face; one that does not end at a boundary is adiabatic there."""
    built = chain(Piece("", area, 1.0e9, layers), MATERIALS)
    return built._replace(
        node_c=(0.0, *built.node_c),
        node_g=(area * number(f"convection_{place}"), *built.node_g),
        end_g=built.end_g if ends else 0.0,
        end_out=1.0 if out else 0.0,
        sun_floor=light,
        radiant=area * number("radiant_film"),
    )


def chains() -> tuple[list[Chain], list[tuple[float, float]]]:
    """All parts, walls to outdoors first; and those walls' area and azimuth."""
    dark = sum(area for area, _, _ in WALLS) + FLOOR_M2 + sum(area for area, _ in PARTITIONS)

    def light(area: float) -> float:
        return 0.358 * area / dark

    found = [faced(area, layers, "wall", light(area), True, True) for area, _, layers in WALLS]
    frames = sum(area * frame for area, frame in WINDOWS.values()) + 0.32 * (2.8527 + 5.8116 + 2.14)
    lost = (WINDOW_M2 - frames) * GLASS_U + (frames + DOOR_M2) * FRAME_U + EDGE_W_K
    clear = WINDOW_M2 + DOOR_M2
    behind = clear / (clear / lost - 0.13)
    films = (clear * number("convection_window"), clear * number("radiant_film"))
    found.append(Chain((0.0,), films[:1], behind, 1.0, 0.0, 0.0, 0.0, radiant=films[1]))
    found.append(faced(FLOOR_M2, FLOOR, "floor", 0.642, False, True))
    found.append(faced(FLOOR_M2, CEILING, "roof", light(FLOOR_M2), False, True))
    found += [faced(area, one, "wall", light(area), True, False) for area, one in PARTITIONS]
    return found, [(area, azimuth) for area, azimuth, _ in WALLS]


def sunlight(start: datetime, d: dict[str, np.ndarray], azimuths: list[float]) -> Any:
    """Sun on upright faces, W/m²."""
    place: Any = SimpleNamespace(
        start=start, utc_offset_h=1.0, latitude=47.874, longitude=11.728, elevation_m=HEIGHT_M,
        pressure_Pa=np.full(len(d["GHI"]), 93500.0), t_out_C=d["T_out"], dhi_W=d["DHI"],
        ghi_W=d["GHI"],
    )  # fmt: skip
    hours = np.arange(len(d["GHI"])).astype("timedelta64[h]")
    place.times = lambda: np.datetime64(start, "s") + hours
    sun = sun_position(place)
    beam = (d["GHI"] - d["DHI"]) / np.maximum(sun.cosine, 0.0523)
    place.dni_W = np.clip(np.where(sun.up, beam, 0.0), 0.0, 1100.0)
    tilt = np.full(len(azimuths), 90.0)
    return on_surfaces(tilt, np.array(azimuths), sun, place, 0.23)


def simulate(path: Path) -> tuple[datetime, np.ndarray, np.ndarray]:
    """Start, measured and computed air, °C, by the hour."""
    start, d = read(path)
    measured = sum(volume * d[room] for room, volume in ROOMS.items()) / sum(ROOMS.values())
    parts, walls = chains()
    floor, ceiling = (steady_w_k(one) for one in parts[len(walls) + 1 : len(walls) + 3])
    below = (floor * d["T_cellar"] + ceiling * d["T_attic"]) / (floor + ceiling)
    azimuths = [azimuth for _, azimuth in walls] + list(WINDOWS)
    light = sunlight(start, d, azimuths)
    outside = np.stack([
        chain_.end_g / 18.0 * DARK * (light.beam[k] + light.diffuse[k])
        for k, chain_ in enumerate(parts[: len(walls)])
    ], axis=1)  # fmt: skip
    inside = np.zeros_like(measured)
    for k, (area, frame) in enumerate(WINDOWS.values(), start=len(walls)):
        beam = G_NORMAL * at_angle(light.cosine[k], 2) * light.beam[k]
        inside += area * (1.0 - frame) * (beam + G_DIFFUSE * light.diffuse[k])
    volume = sum(ROOMS.values())
    air_c = air_heat(HEIGHT_M) * volume
    joined = join(parts, float(measured[0]), float(below[0]))
    share = joined["star_g"] * (1.0 - CONVECTIVE) / joined["star_g"].sum()
    house = House(
        **{
            **dict.fromkeys(House._fields, 0.0),
            "floor_m2": FLOOR_M2, "air_c": air_c, "quick_c": air_c, "vent_at": 1.0e6,
            "damage_below": -1.0e6, "node_gain": share, **joined,
        }
    )  # fmt: skip
    zero = np.zeros(len(measured))
    blown = d["V_vent_m3h"] / 3600.0 * air_heat(HEIGHT_M)
    heaters = sum(d[name] for name in d if name.startswith("P_"))
    fields = dict.fromkeys(Drive._fields, zero) | {
        "t_out": d["T_out"],
        "t_ground": below,
        "loss_w_k": blown + air_c * CHANGES / 3600.0,
        "sun_air_w": blown * (d["T_vent_supply"] - d["T_out"]) + d["Q_kitchen_duct"],
        "sun_floor_w": inside,
        "gain_w": heaters,
        "outside_w": outside,
        "setpoint": zero + float(measured[0]),
        "need_sum_j": np.zeros(len(zero) + 1),
    }
    ran = run_one(season, lone_task(house, Drive(**fields), no_heater()))
    return start, measured, ran.trace[:, at.TRACE.index("air_C")]


def errors(path: Path) -> list[tuple[str, int, float, float]]:
    """Phase, hours, root mean square and mean of computed less measured, K."""
    start, measured, computed = simulate(path)
    begins = [int((datetime.fromisoformat(d) - start).total_seconds() // 3600) for _, d in PHASES]
    rows = []
    for (name, _), first, last in zip(PHASES, begins, [*begins[1:], len(measured)], strict=True):
        off = (computed - measured)[max(first, SKIP_H) : last]
        rows.append((name, len(off), float(np.sqrt(np.mean(off**2))), float(off.mean())))
    off = (computed - measured)[SKIP_H:]
    rows.append(("all", len(off), float(np.sqrt(np.mean(off**2))), float(off.mean())))
    return rows


def main(path: str) -> None:
    """Print the table."""
    for name, hours, rms, mean in errors(Path(path)):
        print(f"{name:12} {hours:4d} h  RMS {rms:5.2f} K  mean {mean:+5.2f} K")


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: python tests/outside/measured_house.py HOUSE.csv")
    main(sys.argv[1])
