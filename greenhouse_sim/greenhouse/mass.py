"""Water barrels, stone and other added heat storage."""

from __future__ import annotations

from typing import Any

from greenhouse_sim.greenhouse.chain import Chain
from greenhouse_sim.greenhouse.table import named_row


def surface_m2(row: Any, volume_m3: float, count: float) -> float:
    """Exposed surface of ``count`` units of this volume: factor × volume^(2/3) each, m²."""
    return float(row["surface_factor"]) * volume_m3 ** (2.0 / 3.0) * count


def lit_m2(mass: Any) -> float:
    """Dark area that the added mass turns to the sun, m².

    A quarter of a convex body's surface is its mean shadow (Cauchy); the row gives how dark it
    is, the scenario how much of it stands in the sun.
    """
    row = named_row("masses", mass.what, "[[greenhouse.mass]] what")
    shadow = 0.25 * surface_m2(row, mass.volume, mass.count)
    return shadow * float(row["absorptance"]) * float(mass.in_sun)


def mass_chain(mass: Any) -> Chain | None:
    """One added mass as a chain of one node with nothing behind it; None where there is none."""
    row = named_row("masses", mass.what, "[[greenhouse.mass]] what")
    if mass.volume <= 0.0 or mass.count <= 0:
        return None
    capacity = float(row["heat_capacity"]) * mass.volume * mass.count
    film = float(row["film"]) * surface_m2(row, mass.volume, mass.count)
    return Chain((capacity,), (film,), 0.0, 0.0, 0.0, lit_m2(mass), 0.0)
