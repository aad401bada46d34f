"""A geodesic dome as the sphere that its struts follow.

A cap of height h over a floor of radius r belongs to a sphere of radius
R = (r² + h²) / (2h) and spans the polar angle θ = 2 atan(h / r). Its area is
2πRh = π(r² + h²), its volume πh(3r² + h²)/6. A piece between polar angles a and b
and an azimuth width φ has

    area            R² φ (cos a - cos b)
    vector area up  R² φ (sin² b - sin² a) / 2
    vector area out R² · 2 sin(φ/2) · [x/2 - sin 2x / 4] from a to b

The many flat triangles of a real dome lie inside the sphere and have some percent less area.
"""

from __future__ import annotations

import math

from greenhouse_sim.greenhouse.part import Shell, SurfacePart

BANDS = 4
SECTORS = 8


def dome(diameter_m: float, height_m: float) -> Shell:
    """The shell of a dome of this floor diameter and height."""
    radius = 0.5 * diameter_m
    sphere = (radius * radius + height_m * height_m) / (2.0 * height_m)
    top = 2.0 * math.atan2(height_m, radius)
    parts = [
        _piece(sphere, top * k / BANDS, top * (k + 1) / BANDS, sector)
        for k in range(BANDS)
        for sector in range(SECTORS)
    ]
    floor_m2 = math.pi * radius * radius
    parts.append(SurfacePart("floor", "floor", floor_m2, floor_m2, 180.0, 0.0, diameter_m))
    volume = math.pi * height_m * (3.0 * radius * radius + height_m * height_m) / 6.0
    perimeter = 2.0 * math.pi * radius
    return Shell(tuple(parts), volume, floor_m2, perimeter, 0.5 * height_m, height_m)


def _piece(sphere: float, a: float, b: float, sector: int) -> SurfacePart:
    width = 2.0 * math.pi / SECTORS
    square = sphere * sphere
    area = square * width * (math.cos(a) - math.cos(b))
    up = 0.5 * square * width * (math.sin(b) ** 2 - math.sin(a) ** 2)
    sine_integral = 0.5 * (b - a) - 0.25 * (math.sin(2.0 * b) - math.sin(2.0 * a))
    out = square * 2.0 * math.sin(0.5 * width) * sine_integral
    tilt = math.degrees(math.atan2(out, up))
    azimuth = 360.0 * sector / SECTORS
    name = f"dome at {azimuth:.0f}, tilt {tilt:.0f}"
    run = sphere * math.sin(0.5 * (a + b)) * width
    return SurfacePart(name, "roof", area, math.hypot(up, out), tilt, azimuth, run)
