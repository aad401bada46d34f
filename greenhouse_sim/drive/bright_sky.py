"""Where in the sky its diffuse light stands: around the sun, at the horizon, and evenly.

Perez, Ineichen, Seals, Michalsky and Stewart (1990) measured it on tilted planes at many places.
Of the diffuse light D on the horizontal the share F₁ comes from around the sun, as beam does; the
band at the horizon gives an upright plane F₂·D (less than nothing under a sky that is darker
there), a plane tilted by β sin β of it; the rest is even. Both shares follow from the hour:

    clearness   ε = ((D + B)/D + κ·z³) / (1 + κ·z³)
    brightness  Δ = m·D/I₀
    F₁ = max(0, f₁₁ + f₁₂·Δ + f₁₃·z)        F₂ = f₂₁ + f₂₂·Δ + f₂₃·z

with the beam B and the sun outside the atmosphere I₀ (both on a plane that faces the sun), the
zenith angle z in radians, κ = 1.041, and eight sets of f by ε (table bright_sky). m is the relative
air mass after Kasten and Young (1989), 1/(cos z + 0.50572·(96.07995 - z°)^-1.6364).
"""

from __future__ import annotations

import functools
from typing import NamedTuple

import numpy as np

from greenhouse_sim.tables.read import read_rows

Array = np.ndarray

KAPPA = 1.041
LEAST_DIFFUSE_W = 1e-6
"""Less diffuse light than this, W/m², is none."""


class BrightSky(NamedTuple):
    """Diffuse light of the sky by where it stands, W/m², arrays of shape (hours,)."""

    around: Array
    """Around the sun, on the horizontal."""
    horizon: Array
    """What the horizon adds on an upright plane; negative where it is darker."""
    even: Array
    """Evenly, on the horizontal."""


def bright_sky(
    diffuse_W: Array, beam_W: Array, space_W: Array, zenith_deg: Array, up: Array
) -> BrightSky:
    """Where the diffuse light stands (see above).

    Parameters
    ----------
    diffuse_W
        Diffuse light on the horizontal, W/m², as all else of shape (hours,).
    beam_W, space_W
        Direct sun, and sun outside the atmosphere, on a plane that faces it, W/m².
    zenith_deg
        Of the sun, degrees.
    up
        Whether the sun is up. With the sun down all diffuse light is even.
    """
    around = np.zeros(len(diffuse_W))
    horizon = np.zeros(len(diffuse_W))
    (lit,) = np.nonzero(up & (diffuse_W > LEAST_DIFFUSE_W))
    diffuse, zenith = diffuse_W[lit], zenith_deg[lit]
    angle = np.radians(zenith)
    bend = KAPPA * angle**3
    clearness = ((diffuse + beam_W[lit]) / diffuse + bend) / (1.0 + bend)
    brightness = air_mass(zenith) * diffuse / space_W[lit]
    edges, sets = _sets()
    found = sets[np.searchsorted(edges, clearness, side="right")]
    share = found[:, 0] + found[:, 1] * brightness + found[:, 2] * angle
    around[lit] = diffuse * np.clip(share, 0.0, 1.0)
    horizon[lit] = diffuse * (found[:, 3] + found[:, 4] * brightness + found[:, 5] * angle)
    return BrightSky(around, horizon, diffuse_W - around)


def air_mass(zenith_deg: Array) -> Array:
    """Relative air mass of a sun above the horizon, after Kasten and Young (1989)."""
    low = 0.50572 * (96.07995 - zenith_deg) ** -1.6364
    return np.asarray(1.0 / (np.cos(np.radians(zenith_deg)) + low))


@functools.cache
def _sets() -> tuple[Array, Array]:
    """Clearness from which each set but the first holds, and the eight sets of six numbers."""
    rows = read_rows("bright_sky")
    columns = [f"{part}_{term}" for part in "ah" for term in ("constant", "brightness", "zenith")]
    edges = np.array([float(row["clearness_from"]) for row in rows[1:]])
    return edges, np.array([[float(row[column]) for column in columns] for row in rows])
