"""The cross-section of a house with a ridge: gable, gothic and hoop are one curve.

Each half of the roof is a circular arc from the eave (half the width w/2 out, at
sidewall height) to the ridge (height h above the eave). The straight chord between
them has length c = √((w/2)² + h²) and tilt γ = atan(h / (w/2)). An arc that spans
the angle 2δ at its centre has, from circle geometry,

    radius      R = c / (2 sin δ)
    arc length  s = 2 δ R = c · δ / sin δ
    segment between arc and chord  = R² (δ - sin δ cos δ)

and its tilt runs from γ + δ at the eave to γ - δ at the ridge. A hoop is level at
the ridge: δ = γ, a gable is straight: δ = 0, a gothic arch stands between them
with part of the hoop's curvature: sin δ = bow · sin γ.

For light an arc is cut into flat facets of equal angle. Areas of skin and the volume are those of
the arc and do not depend on their number; the sun let in on clear winter days lies within 0.4 % of
that through 80 facets (5 to each half; 10 come within 0.1 %, one is up to 13 % off).
"""

from __future__ import annotations

import math
from typing import NamedTuple

from greenhouse_sim.greenhouse.table import envelope

FACETS = 5
"""Flat pieces to each half of a curved roof."""


class Strip(NamedTuple):
    """A strip of roof along the ridge."""

    tilt_deg: float
    arc_m: float
    chord_m: float


def bow(shape: str) -> float:
    """Curvature of the roof as a share of the hoop's (0 gable, 1 hoop)."""
    return {"gable": 0.0, "gothic": envelope("gothic_bow"), "hoop": 1.0}[shape]


def half_angle(width_m: float, rise_m: float, bent: float) -> float:
    """Half the angle that one arc spans at its centre, rad."""
    slope = math.atan2(rise_m, 0.5 * width_m)
    return math.asin(bent * math.sin(slope)) if bent < 1.0 else slope


def roof_strips(width_m: float, rise_m: float, bent: float) -> tuple[Strip, ...]:
    """One half of the roof as strips from the ridge down to the eave."""
    slope = math.atan2(rise_m, 0.5 * width_m)
    chord = math.hypot(0.5 * width_m, rise_m)
    delta = half_angle(width_m, rise_m, bent)
    if delta < 1e-9:
        return (Strip(math.degrees(slope), chord, chord),)
    step = delta / FACETS
    arc = chord * delta / math.sin(delta) / FACETS
    flat = chord * math.sin(step) / math.sin(delta)
    tilts = (slope - delta + (2 * k + 1) * step for k in range(FACETS))
    return tuple(Strip(math.degrees(tilt), arc, flat) for tilt in tilts)


def end_area(width_m: float, sidewall_m: float, rise_m: float, bent: float) -> float:
    """Area of one end wall, m²."""
    delta = half_angle(width_m, rise_m, bent)
    chord = math.hypot(0.5 * width_m, rise_m)
    segment = 0.0
    if delta > 1e-9:
        radius = chord / (2.0 * math.sin(delta))
        segment = radius * radius * (delta - math.sin(delta) * math.cos(delta))
    return width_m * sidewall_m + 0.5 * width_m * rise_m + 2.0 * segment
