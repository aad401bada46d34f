"""Flat and curved pieces that a greenhouse is made of."""

from __future__ import annotations

from typing import NamedTuple


class SurfacePart(NamedTuple):
    """One piece of the shell, seen from outside.

    A curved piece has more skin than the flat opening behind it: heat is lost
    by ``area_m2``, light is caught by ``flat_m2``. The flat area is the length of
    the vector area ∫ n dA, so ``flat_m2`` times the outward normals of all parts
    (the floor too) adds up to zero exactly.
    """

    name: str
    part: str
    """"roof", "sides", "ends", "north", "wall" (behind a lean-to), "floor" or "box"."""
    area_m2: float
    """Developed area of the skin, m²."""
    flat_m2: float
    """Vector area, m² (equal to ``area_m2`` where the piece is flat)."""
    tilt_deg: float
    """0 faces up, 90 is vertical, 180 faces down."""
    azimuth_deg: float
    """Way the outside faces: 0 north, 90 east, 180 south, 270 west."""
    length_m: float
    """Horizontal run of the piece along its wall, m."""


class Shell(NamedTuple):
    """A whole greenhouse as geometry."""

    parts: tuple[SurfacePart, ...]
    volume_m3: float
    floor_m2: float
    perimeter_m: float
    eave_height_m: float
    ridge_height_m: float

    @property
    def wind_height_m(self) -> float:
        """Height at which the wind is taken: the eave, or half the ridge where that is more, m."""
        return max(self.eave_height_m, 0.5 * self.ridge_height_m, 0.5)


def turned(azimuth_deg: float) -> float:
    """An azimuth brought into 0 ≤ azimuth < 360."""
    return azimuth_deg % 360.0
