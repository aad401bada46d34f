"""How much of the direct sun a cover lets through at an angle."""

from __future__ import annotations

import functools

import numpy as np

from greenhouse_sim.greenhouse.table import envelope

Array = np.ndarray
POINTS = 181


def at_angle(cosine: Array, layers: int) -> Array:
    """Transmittance at an angle of incidence as a share of that at normal incidence.

    Snell, Fresnel and Bouguer for one sheet of glass (the physical incidence model of pvlib);
    two sheets let the product of two through. Thin film and sheet follow glass closely, since
    the index of refraction (1.5) decides.

    Parameters
    ----------
    cosine
        Cosine of the angle of incidence, any shape; 0 or less gives 0.
    layers
        Sheets in a row; more than two count as two.
    """
    points, one = _one_sheet()
    share = np.interp(cosine, points, one)
    return share * share if layers >= 2 else share


@functools.cache
def _one_sheet() -> tuple[Array, Array]:
    from pvlib import iam

    angles = np.linspace(90.0, 0.0, POINTS)
    index, thickness = envelope("glazing_index"), envelope("glazing_thickness")
    share = iam.physical(angles, n=index, K=envelope("glazing_extinction"), L=thickness)
    points = np.cos(np.radians(angles))
    points[0] = 0.0
    return points, np.asarray(share, dtype=float)
