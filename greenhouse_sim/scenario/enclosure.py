"""Whether listed surfaces close: a shell without holes or doubled walls.

Areas times outward normals of a closed shell add up to nothing (the divergence theorem for a
constant field), however it is shaped. What is left over points at the surface that is there
too much; the way back is the one that is missing.

A floor lies under the list by itself: ``floor_area`` closes it downwards unless a row faces down.
A body has at least three faces beside its floor. A list that faces fewer ways is a room with heated
rooms around it, or a sizing sheet of areas; it is only asked for half the area of its floor.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from greenhouse_sim import units
from greenhouse_sim.scenario.azimuth import WINDS
from greenhouse_sim.scenario.problem import Problem

if TYPE_CHECKING:
    from greenhouse_sim.scenario.greenhouse import Surface

FACES_DOWN_DEG = 135.0
"""A row tilted further than this is the floor."""
FEWEST_WAYS = 3
LEAST_OVER_FLOOR = 0.5
"""Of a list that cannot close anyhow: less than this share of its floor is a row forgotten. A
judgement."""
LOOSE = 0.03
"""What a tape measure leaves open, as a share of all area: about twice what edges measured to a
hundredth give. A judgement."""

Vector = tuple[float, float, float]


def check_closed(rows: Sequence[Surface], floor_m2: float) -> None:
    """Refuse a list that leaves a hole or has a wall twice.

    Parameters
    ----------
    rows
        The surfaces of a free shape.
    floor_m2
        Its floor, m².

    Raises
    ------
    Problem
        Saying which way is open and the row that would close it.
    """
    normals = [_normal(row.tilt, row.azimuth) for row in rows]
    over = [row for row in rows if row.tilt <= FACES_DOWN_DEG]
    above = sum(row.area for row in over)
    if above < LEAST_OVER_FLOOR * floor_m2:
        raise Problem(
            f"only {_area(above)} stands over a floor of {_area(floor_m2)}, which cannot close; "
            "write a [[greenhouse.surface]] table for every wall and the roof "
            '(u_value = "0 W/m^2/K", opaque = true, absorptance = 0 where a heated room is '
            "behind it), or a smaller floor_area",
            "surface",
        )
    ways = {tuple(round(x, 1) for x in _normal(row.tilt, row.azimuth)) for row in over}
    if len(ways) < FEWEST_WAYS:
        return
    areas = [row.area for row in rows]
    if len(over) == len(rows):
        normals.append((0.0, 0.0, -1.0))
        areas.append(floor_m2)
    left = [sum(a * n[k] for a, n in zip(areas, normals, strict=True)) for k in range(3)]
    size = math.hypot(*left)
    if size > LOOSE * sum(areas):
        raise Problem(_remedy(size, (-left[0], -left[1], -left[2])), "surface")


def _normal(tilt_deg: float, azimuth_deg: float) -> Vector:
    """Outward normal: east, north, up."""
    tilt, azimuth = math.radians(tilt_deg), math.radians(azimuth_deg)
    out = math.sin(tilt)
    return out * math.sin(azimuth), out * math.cos(azimuth), math.cos(tilt)


def _remedy(size_m2: float, way: Vector) -> str:
    """The row that would close the shell; ``way`` is that row's vector area."""
    east, north, up = way
    tilt = round(math.degrees(math.acos(max(-1.0, min(1.0, up / size_m2)))))
    azimuth = round(math.degrees(math.atan2(east, north))) % 360
    lies = tilt in (0, 180)
    if lies:
        toward = "upwards" if tilt == 0 else "downwards"
    else:
        toward = f"towards {_wind(azimuth)}"
    facing = "" if lies else f", azimuth = {azimuth}"
    square_feet = units.from_si(size_m2, "m^2", "ft^2")
    return (
        f"the surfaces do not close: {_area(size_m2)} is open {toward} (or stands twice on the "
        "other side). "
        f'Add a [[greenhouse.surface]] with area = "{square_feet:.0f} ft^2", tilt = {tilt}{facing} '
        "and what it is made of, or correct an area, a tilt or an azimuth"
    )


def _wind(azimuth_deg: float) -> str:
    return min(WINDS, key=lambda name: abs((WINDS[name] - azimuth_deg + 180.0) % 360.0 - 180.0))


def _area(m2: float) -> str:
    return f"{units.from_si(m2, 'm^2', 'ft^2'):.0f} ft² ({m2:.1f} m²)"
