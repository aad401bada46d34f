"""Whether there is a cover that a night curtain can hang under."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.scenario.names import rows_of_kind
from greenhouse_sim.scenario.problem import Problem

if TYPE_CHECKING:
    from greenhouse_sim.scenario.greenhouse import Greenhouse


def check_curtain(house: Greenhouse) -> None:
    """Refuse a curtain in a house that lets no light in: it counts under clear parts alone.

    Raises
    ------
    Problem
        Naming the curtain, and how to do without it.
    """
    if house.night_curtain is None or _clear(house):
        return
    if house.shape == "surfaces":
        what, way = "surface is opaque", "give a surface its solar_transmittance"
    else:
        what, way = "part is opaque", 'give the house a clear cover ("double poly inflated")'
    raise Problem(
        f'has no cover to hang under: every {what}; write night_curtain = "none" and count its '
        f"insulation in the walls, or {way}",
        "night_curtain",
    )


def _clear(house: Greenhouse) -> bool:
    """Whether any part that the shape has is clear."""
    if house.shape == "surfaces":
        return any(not row.opaque for row in house.surface)
    choice, opaque = house.cover, rows_of_kind("covers", "opaque")
    used = [choice.roof]
    if house.shape != "dome":
        used.append(choice.ends)
        used.extend([choice.sides] if house.sidewall else [])
    if choice.north is not None and house.north_wall is None:
        used.append(choice.north)
    return any(name not in opaque for name in used)
