"""Each part of the shell with what it is made of."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from greenhouse_sim.greenhouse.cover import cover
from greenhouse_sim.greenhouse.part import Shell, SurfacePart
from greenhouse_sim.greenhouse.table import envelope
from greenhouse_sim.greenhouse.wind import outside_film
from greenhouse_sim.greenhouse.window import even_light

DOWN_DEG = 135.0
"""A listed surface tilted further than this is a floor: no sun, sky or wind reaches it."""


class Skin(NamedTuple):
    """One part of the shell as heat and light see it."""

    part: SurfacePart
    u_value: float
    """W/m²K with both films, the outer one at ``reference_wind``."""
    reference_wind: float
    opaque: bool
    direct: float
    """Solar transmittance at normal incidence, without structure and dirt."""
    diffuse: float
    layers: int
    longwave_dry: float
    """Share of thermal radiation let through with a dry inner face."""
    longwave_wet: float
    """The same with condensate on the inner face."""
    absorptance: float
    """Of the outside of an opaque part, for sun."""
    capacity: float
    """Heat capacity of an opaque part, J/m²K; more than 0 makes it a chain of its own."""
    other_side_C: float
    """Temperature behind the part; nan for outdoors."""
    capacity_behind: float = 0.0
    """Resistance from the inner face to the middle of that capacity, m²K/W."""
    building_glass: bool = False
    """Whether its light falls with the angle as a window's heat gain does (`window`)."""

    @property
    def sheltered(self) -> bool:
        """Whether no wind, sky or sun reaches its outside."""
        return not math.isnan(self.other_side_C) or self.part.tilt_deg > DOWN_DEG


def skins(scenario: Any, shell: Shell) -> tuple[Skin, ...]:
    """Every part of the shell but the floor, with its cover or wall."""
    house = scenario.greenhouse
    if house.shape == "surfaces":
        room = any(row.tilt > DOWN_DEG for row in house.surface)
        rows = zip(house.surface, shell.parts, strict=True)
        return tuple(_listed(row, part, room) for row, part in rows)
    return tuple(_built(house, part) for part in shell.parts if part.part != "floor")


def _built(house: Any, part: SurfacePart) -> Skin:
    if part.part == "wall":
        return _behind(house.wall_behind, part)
    if part.part == "north" and house.north_wall is not None:
        wall = house.north_wall
        return _wall(part, wall.r_value, wall.absorptance, wall.heat_capacity, math.nan)
    return _covered(_cover_name(house.cover, part), part)


def _cover_name(choice: Any, part: SurfacePart) -> str:
    if part.part == "north":
        if choice.north is not None:
            return str(choice.north)
        if part.name.startswith("end"):
            return str(choice.ends)
        return str(choice.roof if part.name.startswith(("roof", "dome")) else choice.sides)
    return str(getattr(choice, part.part))


def _covered(name: str, part: SurfacePart) -> Skin:
    row = cover(name)
    opaque = row.kind == "opaque"
    dark = envelope("opaque_absorptance") if opaque else 0.0
    return Skin(
        part, row.u_value, row.reference_wind, opaque, row.solar_direct, row.solar_diffuse,
        row.layers, row.longwave_dry, row.longwave_wet, dark, 0.0, math.nan,
    )  # fmt: skip


def _wall(
    part: SurfacePart, r_value: float, absorptance: float, capacity: float, other_side_C: float
) -> Skin:
    """An opaque wall of resistance ``r_value`` (m²K/W, surface to surface) between its films."""
    wind = envelope("reference_wind")
    inside = 1.0 / envelope("inside_film")
    outside = 1.0 / float(outside_film(wind, True)) if math.isnan(other_side_C) else inside
    u_value = 1.0 / (inside + r_value + outside)
    return Skin(
        part, u_value, wind, True, 0.0, 0.0, 0, 0.0, 0.0, absorptance, capacity, other_side_C
    )


def _behind(wall: Any, part: SurfacePart) -> Skin:
    """The wall that a lean-to leans on; a house wall to outdoors where none is named.

    A wall to a heated room keeps no heat of its own here: the kernel's chains end at the outdoor
    air or the deep ground. That makes such a house a little too quick.
    """
    dark = envelope("opaque_absorptance")
    if wall is None:
        return _wall(part, envelope("lean_to_wall_r"), dark, 0.0, math.nan)
    if wall.other_side is None:
        return _wall(part, wall.r_value, wall.absorptance, wall.heat_capacity, math.nan)
    return _wall(part, wall.r_value, wall.absorptance, 0.0, float(wall.other_side))


def _listed(row: Any, part: SurfacePart, room: bool) -> Skin:
    """A listed surface; its diffuse transmittance is the direct one averaged over a hemisphere.

    In a room with its floor listed what lets light through is a window of building glass.
    """
    wind = envelope("reference_wind")
    clear = 0.0 if row.opaque else float(row.solar_transmittance or 0.0)
    layers = 2 if row.u_value < envelope("double_below_u") else 1
    hemisphere = envelope("hemisphere_two" if layers == 2 else "hemisphere_one")
    if room:
        hemisphere = even_light(layers)
    capacity = row.heat_capacity if row.opaque else 0.0
    dark = row.absorptance if row.opaque else 0.0
    behind = row.heat_capacity_behind if capacity > 0.0 else 0.0
    return Skin(
        part, row.u_value, wind, row.opaque, clear, clear * hemisphere, layers, 0.0, 0.0,
        dark, capacity, math.nan, behind, room and not row.opaque,
    )  # fmt: skip
