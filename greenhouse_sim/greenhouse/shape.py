"""Areas, volume and outlook of a greenhouse from what a tape measure finds."""

from __future__ import annotations

import math
from typing import Any

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.greenhouse.dome import dome
from greenhouse_sim.greenhouse.part import Shell, SurfacePart, turned
from greenhouse_sim.greenhouse.profile import bow, end_area, roof_strips
from greenhouse_sim.greenhouse.table import envelope

NORTH_SPREAD_DEG = 45.001
"""A wall belongs to the north if it faces within an eighth of a turn of the pole."""


def surfaces(scenario: Any, latitude: float | None = None) -> tuple[SurfacePart, ...]:
    """The parts of the greenhouse of a scenario, its floor among them (see `shell`)."""
    return shell(scenario, latitude).parts


def shell(scenario: Any, latitude: float | None = None) -> Shell:
    """The geometry of the greenhouse of a scenario.

    Parameters
    ----------
    scenario
        A scenario; ``scenario.greenhouse`` holds lengths in m and azimuths in degrees.
    latitude
        Degrees north, where the scenario does not say. South of the equator "north"
        means the south side: the one that faces away from the midday sun.

    Raises
    ------
    ScenarioError
        The shape is not known.
    """
    house = scenario.greenhouse
    if house.shape == "surfaces":
        return _listed(house)
    if house.shape == "dome":
        built = dome(house.width, house.ridge)
    elif house.shape == "lean-to":
        built = lean_to(house.width, house.length, house.sidewall, house.ridge, house.faces)
    elif house.shape in ("hoop", "gothic", "gable"):
        size = (house.width, house.length, house.sidewall, house.ridge)
        built = ridge_house(house.shape, *size, house.ridge_runs)
    else:
        raise ScenarioError(
            f"[greenhouse] shape: {house.shape!r} is not known; "
            "write one of hoop, gothic, gable, lean-to, dome, surfaces"
        )
    given = scenario.site.latitude
    here = latitude if given is None else given
    pole = 180.0 if here is not None and here < 0.0 else 0.0
    return built._replace(parts=tuple(_north(part, pole) for part in built.parts))


def ridge_house(
    shape: str, width: float, length: float, sidewall: float, ridge: float, ridge_runs: float
) -> Shell:
    """A hoop, gothic or gable house; lengths in m, the ridge line's azimuth in degrees."""
    rise, bent = ridge - sidewall, bow(shape)
    parts: list[SurfacePart] = []
    for azimuth in (turned(ridge_runs + 90.0), turned(ridge_runs - 90.0)):
        for number, strip in enumerate(roof_strips(width, rise, bent), start=1):
            name = f"roof {number} facing {azimuth:.0f}"
            skin, flat = strip.arc_m * length, strip.chord_m * length
            parts.append(SurfacePart(name, "roof", skin, flat, strip.tilt_deg, azimuth, length))
        if sidewall > 0.0:
            parts.append(_wall(f"side facing {azimuth:.0f}", "sides", azimuth, length, sidewall))
    end = end_area(width, sidewall, rise, bent)
    for azimuth in (turned(ridge_runs), turned(ridge_runs + 180.0)):
        parts.append(
            SurfacePart(f"end facing {azimuth:.0f}", "ends", end, end, 90.0, azimuth, width)
        )
    floor = width * length
    parts.append(SurfacePart("floor", "floor", floor, floor, 180.0, 0.0, length))
    return Shell(tuple(parts), end * length, floor, 2.0 * (width + length), sidewall, ridge)


def lean_to(width: float, length: float, sidewall: float, ridge: float, faces: float) -> Shell:
    """A house of one slope against a wall of height ``ridge``; its low side faces ``faces``."""
    rise = ridge - sidewall
    slope = math.hypot(width, rise) * length
    tilt = math.degrees(math.atan2(rise, width))
    end = 0.5 * (sidewall + ridge) * width
    floor = width * length
    parts = [SurfacePart("roof", "roof", slope, slope, tilt, turned(faces), length)]
    if sidewall > 0.0:
        parts.append(_wall("low side", "sides", turned(faces), length, sidewall))
    for azimuth in (turned(faces + 90.0), turned(faces - 90.0)):
        parts.append(
            SurfacePart(f"end facing {azimuth:.0f}", "ends", end, end, 90.0, azimuth, width)
        )
    parts.append(_wall("wall behind", "wall", turned(faces + 180.0), length, ridge))
    parts.append(SurfacePart("floor", "floor", floor, floor, 180.0, 0.0, length))
    return Shell(tuple(parts), end * length, floor, 2.0 * width + length, sidewall, ridge)


def _wall(name: str, part: str, azimuth: float, length: float, height: float) -> SurfacePart:
    area = length * height
    return SurfacePart(name, part, area, area, 90.0, azimuth, length)


def _north(part: SurfacePart, pole: float) -> SurfacePart:
    """Rename a steep part that faces the pole."""
    if part.part not in ("roof", "sides", "ends") or part.tilt_deg < envelope("north_tilt"):
        return part
    away = abs((part.azimuth_deg - pole + 180.0) % 360.0 - 180.0)
    return part._replace(part="north") if away <= NORTH_SPREAD_DEG else part


def _listed(house: Any) -> Shell:
    """A free list of surfaces: a test box. Its floor is square as far as the perimeter goes."""
    parts = tuple(
        SurfacePart(
            row.name or f"surface {number}", "box", row.area, row.area, row.tilt,
            turned(row.azimuth), math.sqrt(row.area),
        )
        for number, row in enumerate(house.surface, start=1)
    )  # fmt: skip
    height = house.volume / house.floor_area
    perimeter = 4.0 * math.sqrt(house.floor_area)
    return Shell(parts, house.volume, house.floor_area, perimeter, height, height)
