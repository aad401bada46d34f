"""How much of the direct sun a cover lets through at an angle.

A sheet has two faces. For each polarisation, with ρ reflected at a face (Fresnel), θ' the
angle inside (Snell: sin θ' = sin θ/n) and τ = exp(−K·L/cos θ') what the sheet itself lets
through (Bouguer), the light that runs to and fro between the faces adds up to

    t = τ·(1 − ρ)²/(1 − ρ²τ²)        let through
    r = ρ·(1 + τ·t)                  thrown back

and two sheets in a row, by the same sum, let through t²/(1 − r²). The mean of both
polarisations is taken. Source: Duffie and Beckman, Solar Engineering of Thermal Processes,
chapter 5 (from memory; the derivation is above). Thin film and sheet follow glass closely,
since the index of refraction (1.5) decides.
"""

from __future__ import annotations

import functools

import numpy as np

from greenhouse_sim.greenhouse.table import envelope

Array = np.ndarray
POINTS = 181
GRAZING_DEG = 89.9


def at_angle(cosine: Array, layers: int) -> Array:
    """Transmittance at an angle of incidence as a share of that at normal incidence.

    Parameters
    ----------
    cosine
        Cosine of the angle of incidence, any shape; 0 or less gives 0.
    layers
        Sheets in a row; more than two count as two.
    """
    points, share = _curve(2 if layers >= 2 else 1)
    return np.interp(cosine, points, share)


@functools.cache
def _curve(layers: int) -> tuple[Array, Array]:
    """Cosines from 0 to 1, and the share let through at each."""
    angles = np.radians(np.linspace(GRAZING_DEG, 0.0, POINTS))
    through = sheets(angles, layers)
    points = np.cos(angles)
    points[0], through[0] = 0.0, 0.0
    return points, through / through[-1]


def sheets(angle: Array, layers: int) -> Array:
    """Transmittance of one or two sheets at angles of incidence in radians, 0 to under π/2."""
    index = envelope("glazing_index")
    inside = np.arcsin(np.sin(angle) / index)
    path = envelope("glazing_extinction") * envelope("glazing_thickness") / np.cos(inside)
    clear = np.exp(-path)
    # Fresnel, written so that normal incidence needs no special case
    outer, inner = np.cos(angle), np.cos(inside)
    across = ((outer - index * inner) / (outer + index * inner)) ** 2
    along = ((inner - index * outer) / (inner + index * outer)) ** 2
    total = np.zeros_like(clear)
    for face in (across, along):
        one = clear * (1.0 - face) ** 2 / (1.0 - (face * clear) ** 2)
        back = face * (1.0 + clear * one)
        total += one if layers == 1 else one * one / (1.0 - back * back)
    return 0.5 * total
